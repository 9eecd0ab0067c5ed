"""What is said to the owner of published figures that are others now."""

from buildecon.story.telling.versions import QUOTED


def quoted_first(found):
    """Changes in the order in which they are told.

    Parameters
    ----------
    found : sequence of Change
        Any. [-]

    Returns
    -------
    list of Change
        The quoted total before all others. [-]
    """
    return sorted(found, key=lambda one: one.was.figure != QUOTED)


def change_sentences(found, again=True):
    """Changes in words, with what to do.

    Parameters
    ----------
    found : sequence of Change
        From `changes`. [-]
    again : bool, optional
        Whether it is still to be published. [-]

    Returns
    -------
    list of str
        Of those with one reason the quoted total first and the others in one; those without a reason last. [-]
    """
    said = []
    for reason in sorted(dict.fromkeys(one.reason for one in found), key=lambda reason: not reason):
        first, *more = quoted_first(one for one in found if one.reason == reason)
        told = f"The reason in corrections.csv: {reason.rstrip('.')}." + (" Publish again." if again else "")
        bare = "Publish again, and add the reason to corrections.csv." if again else "Add the reason to corrections.csv."
        said.append(f"{_was(first)} {told if reason else bare}")
        said += [f"So {'is' if len(more) == 1 else 'are'} {_and_more(more)}"] if more else []
    return said


def unexplained_sentences(found, version):
    """Changes that were published without a reason, in words.

    Parameters
    ----------
    found : sequence of Change
        From `without_reason`. [-]
    version : int
        That brought them. [-]

    Returns
    -------
    list of str
        The quoted total first, the others in one. [-]
    """
    if not found:
        return []
    first, *more = quoted_first(found)
    now = f"as {first.now} in version {version}" if first.now else f"not at all in version {version}"
    said = [f"{first.was.figure} was published as {first.was.text} in version {first.was.version} and {now}, without a reason. Add it to corrections.csv."]
    return said + ([f"So {'was' if len(more) == 1 else 'were'} {_and_more(more)}"] if more else [])


def _and_more(more):
    moved = ", ".join(f"{one.was.figure} {one.was.text} to {one.now or 'none'}" for one in more)
    return f"{len(more)} more: {moved}."


def _was(one):
    is_now = f"it is {one.now} now" if one.now else "there is no such figure now"
    return f"{one.was.figure} was published as {one.was.text} on {one.was.published_on}, version {one.was.version}; {is_now}."
