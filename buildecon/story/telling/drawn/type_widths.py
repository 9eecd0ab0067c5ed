"""How wide a line of text is, by the advance widths of Helvetica, which Arial and Liberation Sans share."""

from functools import cache

# Advance widths in thousandths of the type size, by width: Adobe Core 14 AFM files phvr8a.afm (Helvetica, version 001.006, 1990) and phvb8a.afm
# (Helvetica-Bold), read in the copies that matplotlib ships in mpl-data/fonts/afm. Held against Liberation Sans of Debian's fonts-liberation2 by hand:
# 219 of 224 characters agree to a thousandth; the middle dot, macron, plus-minus, division sign and micro do not.
REGULAR = {
    167: "⁄",
    191: "'",
    222: "ijlł‘’‚",
    260: "|¦",
    278: " !,./:;I[\\]ft·ÌÍÎÏìíîïı",
    333: "()-`r¡¨¯´¸ˆˇ˘˙˚˛˜˝“”„‹›",
    334: "{}",
    350: "•",
    355: '"',
    365: "º",
    370: "ª",
    389: "*",
    400: "°",
    469: "^",
    500: "Jcksvxyzçýÿšž",
    537: "¶",
    556: "#$0123456789?L_abdeghnopqu¢£¤¥§«µ»àáâãäåèéêëðñòóôõöùúûüþŁƒ–†‡",
    584: "+<=>~¬±×÷−",
    611: "FTZ¿ßøŽ",
    667: "&ABEKPSVXYÀÁÂÃÄÅÈÉÊËÝÞŠŸ",
    722: "CDHNRUwÇÐÑÙÚÛÜ",
    737: "©®",
    778: "GOQÒÓÔÕÖØ",
    833: "Mm",
    834: "¼½¾",
    889: "%æ",
    944: "Wœ",
    1000: "ÆŒ—…‰™",
    1015: "@",
}
BOLD = {
    167: "⁄",
    238: "'",
    278: " ,./I\\ijl·ÌÍÎÏìíîïıł‘’‚",
    280: "|¦",
    333: "!()-:;[]`ft¡¨¯´¸ˆˇ˘˙˚˛˜˝‹›",
    350: "•",
    365: "º",
    370: "ª",
    389: "*r{}",
    400: "°",
    474: '"',
    500: "zž“”„",
    556: "#$0123456789J_aceksvxy¢£¤¥§«¶»àáâãäåçèéêëýÿšƒ–†‡",
    584: "+<=>^~¬±×÷−",
    611: "?FLTZbdghnopquµ¿ßðñòóôõöøùúûüþŁŽ",
    667: "EPSVXYÈÉÊËÝÞŠŸ",
    722: "&ABCDHKNRUÀÁÂÃÄÅÇÐÑÙÚÛÜ",
    737: "©®",
    778: "GOQwÒÓÔÕÖØ",
    833: "M",
    834: "¼½¾",
    889: "%mæ",
    944: "Wœ",
    975: "@",
    1000: "ÆŒ—…‰™",
}
TOLERANCE = 0.01  # a place worked out by adding and taking off again is that exact [pixel]
UNKNOWN = 1.0  # of the type size, of any other character: as wide as an ideograph
ASCENT, DESCENT = 0.75, 0.22  # of the type size, above and below the line: AFM 0.718 and 0.207, and a little


@cache
def _widths(bold):
    widths = {char: width / 1000 for width, chars in (BOLD if bold else REGULAR).items() for char in chars}
    return widths | {"\u00a0": widths[" "]}


def text_width(text, size, bold=False):
    """How wide a line of text is.

    Parameters
    ----------
    text : str
        One line. [-]
    size : float
        Of the type. [pixel]
    bold : bool, optional
        Whether in bold. [-]

    Returns
    -------
    float
        Kerning left out, which makes lines a little shorter. [pixel]
    """
    widths = _widths(bold)
    return size * sum(widths.get(char, UNKNOWN) for char in text)


def shortened(text, width, size, bold=False):
    """A line cut to a width, with an ellipsis where something is gone.

    Parameters
    ----------
    text : str
        One line. [-]
    width : float
        To fit. [pixel]
    size : float
        Of the type. [pixel]
    bold : bool, optional
        Whether in bold. [-]

    Returns
    -------
    str
        Empty where not even the ellipsis fits. [-]
    """
    widths, room, end = _widths(bold), width / size, 0
    if len(text) * min(widths.values()) <= room + TOLERANCE and text_width(text, size, bold) <= width + TOLERANCE:
        return text
    room -= widths["…"]
    while end < len(text) and (room := room - widths.get(text[end], UNKNOWN)) >= 0:
        end += 1
    return f"{text[:end].rstrip(' ,;:.-')}…" if width >= size else ""


def wrapped(text, width, size, most, bold=False):
    """A text in lines of a width.

    Parameters
    ----------
    text : str
        Words. [-]
    width : float
        Of a line. [pixel]
    size : float
        Of the type. [pixel]
    most : int
        Lines; what does not fit into the last is cut with an ellipsis. [-]
    bold : bool, optional
        Whether in bold. [-]

    Returns
    -------
    tuple of str
        A word that is wider than a line is cut. [-]
    """
    words, lines = text.split(" "), []
    while words and len(lines) < most - 1:
        line = words.pop(0)
        while words and text_width(f"{line} {words[0]}", size, bold) <= width + TOLERANCE:
            line += f" {words.pop(0)}"
        lines.append(shortened(line, width, size, bold))
    return (*lines, *([shortened(" ".join(words), width, size, bold)] if words else []))
