"""A project in which every name, note and number is an attack."""

from demos import changed, demo

ATTACKS = (
    "<script>alert(1)</script>", "</script><script>alert(2)</script>", "<img src=x onerror=alert(3)>", "[click](javascript:alert(4))", "![x](http://evil.invalid/a.png)",
    '=HYPERLINK("http://evil.invalid","x")', "@SUM(1+1)*cmd|' /C calc'!A0", "../../../etc/passwd", "\u202egnp.exe\u202c", "a\x00b\x1bc", "`| x | y |`", "www.evil.invalid a@evil.invalid", "&lt;b&gt; {stands_in_at} ${alert(5)}",
)  # fmt: skip


def attacked():
    """The pickup, every name, note and number of it an attack."""
    owner = demo("pickup")
    pick = lambda k: ATTACKS[k % len(ATTACKS)]  # noqa: E731
    lines = tuple(line.model_copy(update={"item": pick(k), "part_number": pick(k + 1), "system": f"{pick(k % 7)}", "note": pick(k + 2)}) for k, line in enumerate(owner.lines))
    lines = (lines[0].model_copy(update={"item": "x" * 100_000}), *lines[1:])
    options = tuple(option.model_copy(update={"name": f"{option.id} {pick(k)}"}) for k, option in enumerate(owner.options))
    sponsors = tuple(one.model_copy(update={"gave": pick(k), "in_return": pick(k + 1)}) for k, one in enumerate(owner.file.disclosures))
    jobs = tuple(job.model_copy(update={"what": f"{pick(k)} {k}"}) for k, job in enumerate(owner.file.jobs))
    build = owner.file.build.model_copy(update={"name": pick(0), "summary": " ".join(ATTACKS), "quoted_because": pick(2)})
    return changed(owner.model_copy(update={"lines": lines, "story": "\n\n".join(ATTACKS[:12])}), options=options, disclosures=sponsors, jobs=jobs, build=build, contribution=None)
