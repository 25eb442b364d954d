"""x."""


def suggest_mapping(path: object) -> str:
    """X."""
    return ""
