"""The exceptions of Python and the statuses of the C header are the same errors under the same names."""

import re
from pathlib import Path

import rigging_py

HEADER = Path(__file__).parents[2] / "rigging-ffi" / "include" / "rigging.h"
NOT_STATUSES = {"OK", "MESSAGE_SIZE", "PLACE_SIZE", "ABI_VERSION", "H"}
OTHER_WORDS = (
    "VERDICT_",
    "STATE_",
    "SIDE_",
    "OPERATION_",
    "ACTS_",
    "REMEDY_",
    "SEVERITY_",
    "MEASURE_",
    "INPUT_",
    "DISTRIBUTION_",
)
ONLY_IN_C = {"null_argument", "not_utf8", "buffer_too_small", "wrong_size", "wrong_count", "no_such_item"}


def test_c_and_python_name_the_same_errors():
    names = set(re.findall(r"^#define RIGGING_(\w+)", HEADER.read_text(encoding="utf-8"), re.MULTILINE))
    statuses = {name.lower() for name in names - NOT_STATUSES if not name.startswith(OTHER_WORDS)}
    classes = {
        one.code
        for one in vars(rigging_py).values()
        if isinstance(one, type) and issubclass(one, rigging_py.RiggingError) and one.code
    }
    print(f"{len(statuses)} statuses, {len(classes)} exceptions")
    assert statuses - ONLY_IN_C == classes
    assert ONLY_IN_C <= statuses
