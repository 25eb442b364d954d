"""Words that people put above columns, in English, German, French and Spanish, and the column each means."""

from __future__ import annotations

import re
import unicodedata

from rangework.units import LengthUnit

#: Asked in this order: the first column whose word stands in a header is meant (from memory).
_WORDS: dict[str, tuple[str, ...]] = {
    "remark": (
        "remark",
        "note",
        "notes",
        "comment",
        "status",
        "bemerkung",
        "kommentar",
        "hinweis",
        "fehler",
        "remarque",
        "commentaire",
        "observacion",
        "comentario",
        "nota",
    ),
    "date": ("date", "day", "datum", "tag", "jour", "fecha", "dia"),
    "wind": ("wind", "vent", "viento"),
    "right": (
        "side",
        "sideways",
        "lateral",
        "offline",
        "right",
        "seite",
        "seitlich",
        "seitenabweichung",
        "abweichung",
        "rechts",
        "ecart",
        "deviation",
        "droite",
        "lado",
        "desvio",
        "desviacion",
        "derecha",
    ),
    "target": ("target", "aim", "ziel", "cible", "objectif", "objetivo", "blanco"),
    "carry": ("carry", "flugweite", "flug", "vol", "portee", "vuelo"),
    "total": ("total", "distance", "gesamt", "gesamtweite", "weite", "distanz", "totale", "distancia"),
    "lie": ("lie", "lage", "balllage"),
    "club": ("club", "schlager", "schlaeger", "palo", "baton"),
    "session": (
        "session",
        "practice",
        "einheit",
        "training",
        "sitzung",
        "seance",
        "entrainement",
        "sesion",
        "entrenamiento",
    ),
    "place": ("place", "location", "ort", "anlage", "lieu", "lugar"),
    "pin": ("pin", "flag", "fahne", "drapeau", "bandera"),
    "surface": ("surface", "untergrund", "abschlag", "tapis", "superficie"),
    "holed": ("holed", "made", "gelocht", "eingelocht", "rentre", "embocado"),
    "ball": (
        "ball",
        "shot",
        "nr",
        "no",
        "number",
        "nummer",
        "schlag",
        "balle",
        "coup",
        "numero",
        "bola",
        "golpe",
    ),
}
#: Words this long are also looked for inside longer ones: German joins them.
_LONG_ENOUGH_TO_JOIN = 4
_UNITS: dict[LengthUnit, tuple[str, ...]] = {
    "yd": ("yd", "yds", "yard", "yards", "yarda", "yardas"),
    "m": ("m", "meter", "meters", "metre", "metres", "metro", "metros"),
    "ft": ("ft", "foot", "feet", "fuss", "pied", "pieds", "pie", "pies"),
}
_LEFT = ("l", "left", "links", "li", "g", "gauche", "i", "izq", "izquierda")
_RIGHT = ("r", "right", "rechts", "re", "d", "droite", "der", "derecha")
_DRIVER = ("d", "dr", "driver", "1w", "w1", "h1", "1h")


def words_of(text: str) -> list[str]:
    """The words of a text without accents and case."""
    plain = unicodedata.normalize("NFKD", text.casefold().replace("ß", "ss"))
    return re.findall(r"[a-z]+", "".join(sign for sign in plain if not unicodedata.combining(sign)))


def unit_of(text: str) -> LengthUnit | None:
    """The unit a header or a cell of a unit row states: its last word, ``Carry [m]``, ``side_yd``."""
    last = (words_of(text) or [""])[-1]
    return next((unit for unit, words in _UNITS.items() if last in words), None)


def meanings(header: str) -> list[str]:
    """Columns that a header may mean, the likeliest first."""
    words = words_of(header)
    exact = [name for name, known in _WORDS.items() if any(word in known for word in words)]
    joined = [
        name
        for name, known in _WORDS.items()
        if any(part in word for part in known if len(part) >= _LONG_ENOUGH_TO_JOIN for word in words)
    ]
    return exact + [name for name in joined if name not in exact]


def side_of(word: str) -> str:
    """``left`` or ``right`` for a word that means it, else the empty text."""
    plain = "".join(words_of(word))
    return "left" if plain in _LEFT else "right" if plain in _RIGHT else ""


def is_driver(club: str) -> bool:
    """Whether a club's name looks like a driver."""
    return club.strip().casefold() in _DRIVER
