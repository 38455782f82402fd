"""Where studies rest: the study file, saving it whole, and the shelf (a folder of studies)."""

from core.files.atomic import disk_error, write_whole
from core.files.reader import parse_study
from core.files.safe_xml import NewerVersion
from core.files.shelf import ShelfEntry, find, shelf
from core.files.store import SUFFIX, load_study, save_study
from core.files.writer import study_xml

__all__ = ["SUFFIX", "NewerVersion", "ShelfEntry", "disk_error", "find", "load_study", "parse_study", "save_study",
           "shelf", "study_xml", "write_whole"]
