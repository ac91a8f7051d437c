"""The C library as another language calls it: through the shared library and what the header says, nothing else."""

import ctypes
import os
import struct
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LIFTS = ROOT / "rigging-core" / "examples" / "lifts"
EXPECTED = ROOT / "tests" / "reference" / "first_light.txt"
LIBRARY = Path(os.environ.get("CARGO_TARGET_DIR") or ROOT / "target") / "release" / "librigging.so"

OK, UNKNOWN_KEY, NULL_ARGUMENT, WRONG_SIZE, WRONG_COUNT = 0, 8, 100, 104, 105


class Error(ctypes.Structure):
    _fields_ = [
        ("struct_size", ctypes.c_uint32),
        ("code", ctypes.c_int32),
        ("message", ctypes.c_char * 1024),
        ("place", ctypes.c_char * 512),
    ]


class Text(ctypes.Structure):
    _fields_ = [("data", ctypes.c_void_p), ("length", ctypes.c_size_t)]

    def __str__(self):
        return ctypes.string_at(self.data, self.length).decode()


class Leg(ctypes.Structure):
    _fields_ = [
        ("struct_size", ctypes.c_uint32),
        ("has_allowed", ctypes.c_int32),
        ("has_utilization", ctypes.c_int32),
        ("name", Text),
        ("nominal_n", ctypes.c_double),
        ("worst_n", ctypes.c_double),
        ("least_n", ctypes.c_double),
        ("allowed_n", ctypes.c_double),
        ("utilization", ctypes.c_double),
        ("angle_from_vertical_rad", ctypes.c_double),
    ]


class Failure(Exception):
    def __init__(self, status, error):
        super().__init__(error.message.decode())
        self.status, self.place = status, error.place.decode()


class Library:
    """Functions of the library; a status that is not OK is raised."""

    def __init__(self, path):
        self.loaded = ctypes.CDLL(str(path))

    def __getattr__(self, name):
        function = getattr(self.loaded, name)
        function.restype = ctypes.c_int32

        def call(*arguments):
            error = Error()
            self.loaded.rigging_error_init(ctypes.byref(error), ctypes.c_size_t(ctypes.sizeof(error)))
            status = function(*arguments, ctypes.byref(error))
            assert status == error.code
            if status != OK:
                raise Failure(status, error)

        return call

    def handle(self, name, *arguments):
        handle = ctypes.c_void_p()
        getattr(self, name)(*arguments, ctypes.byref(handle))
        return handle

    def document(self, name, handle):
        length = ctypes.c_size_t()
        getattr(self, name)(handle, None, ctypes.c_size_t(0), ctypes.byref(length))
        buffer = ctypes.create_string_buffer(length.value + 1)
        getattr(self, name)(handle, buffer, ctypes.c_size_t(len(buffer)), ctypes.byref(length))
        return buffer.value.decode()

    def free(self, name, handle):
        getattr(self.loaded, name)(handle)


def text(value):
    value = value.encode() if isinstance(value, str) else value
    return value, ctypes.c_size_t(len(value))


@pytest.fixture(scope="module")
def library():
    assert LIBRARY.exists(), f"{LIBRARY} is not there: cargo xtask test library"
    return Library(LIBRARY)


def expected():
    lifts = []
    for line in EXPECTED.read_text(encoding="utf-8").splitlines():
        key, _, value = line.partition(" ")
        if key == "lift":
            lifts.append({"lift": value, "tension": []})
        elif key == "tension":
            lifts[-1]["tension"].append(value)
        elif key in {"verdict", "report"}:
            lifts[-1][key] = value
    return lifts


def test_the_main_job(library):
    rules = library.handle("rigging_rule_set_built_in", *text("us-general"))
    lifts = expected()
    assert [lift["verdict"] for lift in lifts] == ["2", "0", "1"]
    for one in lifts:
        lift = library.handle("rigging_lift_from_json", *text((LIFTS / one["lift"]).read_bytes()))
        certificate = library.handle("rigging_lift_solve", lift)
        tensions = (ctypes.c_double * len(one["tension"]))()
        library.rigging_certificate_tensions(certificate, tensions, ctypes.c_size_t(len(tensions)))
        assert [struct.pack(">d", tension).hex() for tension in tensions] == one["tension"]
        assessment = library.handle("rigging_lift_assess", lift, rules)
        verdict = ctypes.c_int32(-1)
        library.rigging_assessment_verdict(assessment, ctypes.byref(verdict))
        assert str(verdict.value) == one["verdict"]
        assert library.document("rigging_assessment_report", assessment).splitlines()[0] == one["report"]
        leg = Leg(struct_size=ctypes.sizeof(Leg))
        library.rigging_assessment_leg(assessment, ctypes.c_size_t(2), ctypes.byref(leg))
        assert str(leg.name) == "leg C" and leg.has_utilization == 1
        assert struct.pack(">d", leg.nominal_n).hex() == one["tension"][2]
        library.free("rigging_assessment_free", assessment)
        library.free("rigging_certificate_free", certificate)
        library.free("rigging_lift_free", lift)
    library.free("rigging_rule_set_free", rules)


def test_refusals(library):
    with pytest.raises(Failure) as caught:
        library.handle("rigging_lift_from_json", *text('{"format": 1, "name": "x", "gravty": "9.81 m/s2"}'))
    assert (caught.value.status, caught.value.place) == (UNKNOWN_KEY, "/gravty")
    lift = library.handle("rigging_lift_from_json", *text((LIFTS / "generator-skid.json").read_bytes()))
    certificate = library.handle("rigging_lift_solve", lift)
    tensions = (ctypes.c_double * 9)()
    with pytest.raises(Failure) as caught:
        library.rigging_certificate_tensions(certificate, tensions, ctypes.c_size_t(9))
    assert caught.value.status == WRONG_COUNT and list(tensions) == [0.0] * 9
    rules = library.handle("rigging_rule_set_built_in", *text("us-general"))
    assessment = library.handle("rigging_lift_assess", lift, rules)
    with pytest.raises(Failure) as caught:
        library.rigging_assessment_leg(assessment, ctypes.c_size_t(0), ctypes.byref(Leg()))
    assert caught.value.status == WRONG_SIZE
    with pytest.raises(Failure) as caught:
        library.handle("rigging_lift_assess", None, rules)
    assert caught.value.status == NULL_ARGUMENT
    for name, handle in [("lift", lift), ("certificate", certificate), ("assessment", assessment), ("rule_set", rules)]:
        library.free(f"rigging_{name}_free", handle)
        library.free(f"rigging_{name}_free", None)
