"""Rules of `[[jobs]]`: what they name is there, no money stands in two of them, and what must be done can be done."""

from collections import Counter, defaultdict
from graphlib import CycleError, TopologicalSorter

from buildecon.project.faults import Fault, unknown_name, wrong


def job_faults(project, line_of, broken=frozenset()):
    """Faults of the jobs of a project.

    Parameters
    ----------
    project : Project
        Whose records are each valid on their own. [-]
    line_of : callable
        Line of build.toml for a path of keys. [-]
    broken : set of str, optional
        Names of files with faults, of which records may be missing. [-]

    Returns
    -------
    list of Fault
        Empty where all agree. [-]
    """
    jobs = project.file.jobs

    def fault(k, key, message):
        return Fault("build.toml", line_of("jobs", k, key), f"jobs.{k + 1}.{key}", message)

    faults = [fault for table in ("jobs", "phases") for fault in _twice(getattr(project.file, table), table, line_of)]
    if "lines.csv" not in broken:
        faults += _line_faults(project, fault)
    named = [*_name_faults(project, fault)]
    faults += named or _order_faults(jobs, fault)
    return faults + [*_variant_faults(jobs, fault)] if not faults else faults


def _twice(tables, name, line_of):
    first = {}
    for k, one in enumerate(tables, 1):
        if first.setdefault(one.id, k) != k:
            yield Fault("build.toml", line_of(name, k - 1, "id"), f"{name}.{k}.id", f"must be unique, got {one.id!r}, which number {first[one.id]} of [[{name}]] has already.")


def _line_faults(project, fault):
    """Lines that are there, are no car, and whose money is in one job only; variants may share them, since only one of them is done."""
    lines, taken = {line.id: line for line in project.lines}, {}
    for k, job in enumerate(project.file.jobs):
        for id, count in Counter(job.lines).items():
            before = taken.setdefault(id, job)
            if id not in lines:
                yield fault(k, "lines", f"{id!r} {unknown_name(id, lines)}")
            elif lines[id].nature == "base car":
                yield fault(k, "lines", wrong("lines of the work, not the base car", id))
            elif count > 1:
                yield fault(k, "lines", f"must name each line once, got {id!r} {count} times.")
            elif before is not job and not (job.one_of and job.one_of == before.one_of):
                yield fault(k, "lines", f"must not name a line that another job has, got {id!r}, which is in {before.id!r}: its money would count twice. Give it to one of them, or give both the same one_of.")


def _name_faults(project, fault):
    jobs, phases = project.file.jobs, {phase.id for phase in project.file.phases}
    ids, sizes = {job.id for job in jobs}, Counter(job.one_of for job in jobs)
    for k, job in enumerate(jobs):
        for id in (id for group in groups_of(job) for id in group):
            if id not in ids:
                yield fault(k, "needs", f"{id!r} {unknown_name(id, ids)}")
        if any(not group for group in groups_of(job)):
            yield fault(k, "needs", "must not hold an empty list.")
        if job.phase and job.phase not in phases:
            yield fault(k, "phase", f"{job.phase!r} {unknown_name(job.phase, phases)}")
        if job.one_of and sizes[job.one_of] == 1:
            yield fault(k, "one_of", wrong("a word that two jobs or more have, of which one is done at most", job.one_of))


def _order_faults(jobs, fault):
    position = {job.id: k for k, job in enumerate(jobs)}
    try:
        TopologicalSorter({job.id: {id for group in groups_of(job) for id in group} for job in jobs}).prepare()
    except CycleError as trouble:
        round_ = trouble.args[1][::-1]
        return [fault(min(position[id] for id in round_), "needs", f"must not go round in a circle, got {' -> '.join(round_)}.")]
    return []


def _variant_faults(jobs, fault):
    """One of each kind of variant at most: in what a job needs, and in all that must be done together."""
    by_id, groups = {job.id: job for job in jobs}, defaultdict(list)
    for job in jobs:
        groups[job.one_of].append(job)
    for k, job in enumerate(jobs):
        if two := _two_variants(_surely_needed([job], by_id), by_id):
            yield fault(k, "needs", f"must not need two of which only one is done, got {two[0]!r} and {two[1]!r} of one_of = {by_id[two[0]].one_of!r}.")
            return
    for name, members in groups.items():
        count = sum(job.must for job in members)
        if name and 1 < count < len(members):
            k = next(k for k, job in enumerate(jobs) if job.one_of == name and job.must)
            yield fault(k, "must", f"must be true on one job of one_of = {name!r}, or on all where any will do, got {count} of {len(members)}.")
            return
    musts = [job for job in jobs if job.must and not (job.one_of and all(one.must for one in groups[job.one_of]))]
    if two := _two_variants(_surely_needed(musts, by_id), by_id):
        k = next(k for k, job in enumerate(jobs) if job in musts and set(two) & _surely_needed([job], by_id))
        yield fault(k, "must", f"must not ask for two of which only one is done: the must-dos need {two[0]!r} and {two[1]!r} of one_of = {by_id[two[0]].one_of!r}.")


def _surely_needed(jobs, by_id):
    """Ids of jobs and of all they need without a choice."""
    found, left = set(), [job.id for job in jobs]
    while left:
        id = left.pop()
        if id not in found:
            found.add(id)
            left += [group[0] for group in groups_of(by_id[id]) if len(group) == 1]
    return found


def _two_variants(ids, by_id):
    seen = {}
    for id in sorted(ids, key=list(by_id).index):
        word = by_id[id].one_of
        if word and seen.setdefault(word, id) != id:
            return seen[word], id
    return ()


def groups_of(job):
    """What a job needs as groups of ids, of each of which one is enough.

    Parameters
    ----------
    job : Job
        Of build.toml. [-]

    Returns
    -------
    tuple of tuple of str
        A single id is a group of one. [-]
    """
    return tuple((need,) if isinstance(need, str) else tuple(need) for need in job.needs)
