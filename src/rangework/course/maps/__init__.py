"""Courses from open maps: GeoJSON and OSM XML with the public golf tags of OpenStreetMap.

Readers give features with tags and positions in degrees. These become a course in steps: lines of play are
gathered into courses, one of which is chosen and laid on a plane; then greens, tees and pins find their holes,
and every hole takes the ground that its grid can show.
"""
