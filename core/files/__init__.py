"""Where studies rest: the study file, saving it whole, and the shelf (a folder of studies)."""

from core.files.atomic import disk_error, write_whole
from core.files.journal import Journal, drop_journal, journals_in, read_journal, write_journal
from core.files.newer import load_what_is_known
from core.files.reader import parse_study
from core.files.safe_xml import NewerVersion
from core.files.shelf import ShelfEntry, find, shelf, title_in
from core.files.stamp import Stamp, is_as_stamped, stamp_of
from core.files.store import SUFFIX, load_study, save_study
from core.files.writer import study_xml

__all__ = ["SUFFIX", "Journal", "NewerVersion", "ShelfEntry", "Stamp", "disk_error", "drop_journal", "find",
           "is_as_stamped", "journals_in", "load_study", "load_what_is_known", "parse_study", "read_journal",
           "save_study", "shelf", "stamp_of", "study_xml", "title_in", "write_journal", "write_whole"]
