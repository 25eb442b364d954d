"""rangework: from shot records and a course to where an hour of practice pays most."""

__version__ = "0.1.0"
