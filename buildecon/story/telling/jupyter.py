"""A write-up section by section, as a Jupyter notebook shows it."""

from dataclasses import dataclass

from buildecon.story.telling.blocks import Heading
from buildecon.story.telling.markdown import markdown
from buildecon.story.telling.web_page import block_html


@dataclass(frozen=True)
class Section:
    """A heading and what stands under it.

    Parameters
    ----------
    blocks : tuple
        Of the write-up, the heading first. [-]
    pictures : dict of str to (str, dict of str to str)
        Alternative text and drawings by name. [-]
    """

    blocks: tuple
    pictures: dict

    def _repr_html_(self):
        return "\n".join(filter(None, (block_html(block, self.pictures) for block in self.blocks)))

    def _repr_markdown_(self):
        return markdown(self.blocks, {}, "")

    def __repr__(self):
        return self._repr_markdown_()


def sections(write_up):
    """All sections of an article.

    Parameters
    ----------
    write_up : WriteUp
        Of a project. [-]

    Returns
    -------
    dict of str to Section
        By heading, in order; the title's own holds the headline. [-]
    """
    pictures, found, name = {frame.id: (frame.alt, {"wide": frame.svg["wide"]}) for frame in write_up.frames}, {}, ""
    for block in write_up.article:
        if isinstance(block, Heading):
            name = block.text if block.text not in found else f"{block.text} ({len(found)})"
        found.setdefault(name, []).append(block)
    return {name: Section(tuple(blocks), pictures) for name, blocks in found.items()}
