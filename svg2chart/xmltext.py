"""Text as XML can hold it. Source: Extensible Markup Language 1.0, production 2 (Char) and 3.3.3."""

from html import escape


def attribute_text(text: str) -> str:
    """Return text for an element or an attribute in double quotes; what XML forbids becomes U+FFFD.

    Line breaks and tabs are written by number, for an attribute would lose them.
    """
    kept = (c if c in "\t\n\r" or " " <= c not in "\ufffe\uffff" else "\ufffd" for c in text)
    return "".join(f"&#{ord(c)};" if c in "\t\n\r" else c for c in escape("".join(kept)))
