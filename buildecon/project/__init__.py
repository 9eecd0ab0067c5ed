"""What the owner writes down: validated records, and the plain files of a project folder."""

from buildecon.project.faults import ProjectFaults
from buildecon.project.read import read_project
from buildecon.project.records import Project, WhatIf
from buildecon.project.write import write_project

__all__ = ["Project", "ProjectFaults", "WhatIf", "read_project", "write_project"]
