"""The kernel's host: bytes as in kernel/FORMAT.md, and what it makes of an instance's answers.

The instances here are stand-ins that say what a test lets them say; the module itself is held
against counting and a plain copy elsewhere.
"""

from __future__ import annotations

import hashlib
import os
import struct
import threading
from types import SimpleNamespace

import numpy as np
import pytest
from by_hand import sample

from small import evidence_of, finds, look, usual
from wainscot.diagnosis import kernel
from wainscot.diagnosis.kernel import PROBLEMS, Instance, KernelError, encode, run, run_bytes
from wainscot.diagnosis.shared_tilt import SharedTilt

STOP = threading.Event


def problem():
    """The small house with a smell, so that every section has something in it."""
    smelt = look("n", (0,), finds("odour", "strong"), method="nose")
    return sample(evidence=evidence_of([*usual(), smelt])).problem


# Bytes.


def test_the_bytes_are_those_of_the_format():
    one = problem()
    data = encode(one, seed=2**63 + 5, draws=96, sweeps=2, flags=2, ess_fraction=0.25)
    zones, members = len(one.zone_false), len(one.zone_void)
    smells, senders, points = (len(part) for part in (
        one.linear_log_likelihood, one.linear_void, one.linear_grid))  # fmt: skip
    assert 0 not in (zones, members, smells, senders, points)
    assert data[:4] == b"WSK1"
    sizes = [2, 2, 7, 8, 4, len(one.load_prior), len(one.detail), zones, members, 32, 2]
    assert struct.unpack_from("<11I", data, 4) == tuple(sizes)
    assert struct.unpack_from("<Q", data, 48) == (2**63 + 5,)
    assert struct.unpack_from("<d", data, 56) == (0.25,)
    assert struct.unpack_from("<4I", data, 64) == (smells, senders, points, 1)
    at = 80
    for kind, names in (
        ("<f8", "passage_prior source_prior load_prior detail zone_hit zone_false linear_emission "
                "linear_grid linear_log_likelihood linear_soil"),
        ("<i4", "passage_ends source_void row_of zone_offsets zone_void "
                "linear_offsets linear_void"),
        ("u1", "source_named zone_heard"),
    ):  # fmt: skip
        for name in names.split():
            values = getattr(one, name)
            read = np.frombuffer(data, kind, values.size, at)
            assert np.array_equal(read, values.reshape(-1)), name
            at += read.nbytes
    assert len(data) % 8 == 0
    assert 0 <= len(data) - at < 8
    assert not any(data[at:])


def test_what_is_not_asked_for_has_its_usual_value():
    data = encode(sample().problem, seed=1)
    assert struct.unpack_from("<I", data, 8) == (0,)
    assert struct.unpack_from("<2I", data, 40) == (512, 1)
    assert struct.unpack_from("<d", data, 56) == (0.5,)
    assert struct.unpack_from("<4I", data, 64)[3] == 0
    with pytest.raises(ValueError, match="97 draws are no multiple of 3 states for each chain"):
        encode(sample().problem, seed=1, draws=97, sweeps=2, flags=2)
    assert encode(sample().problem, seed=1, draws=97, sweeps=2)[40:44] == struct.pack("<I", 97)


def test_a_run_is_encoded_with_all_its_draws_and_handed_on(monkeypatch):
    asked = []
    monkeypatch.setattr(
        kernel, "run_bytes", lambda data, **more: (asked.append((data, more)), [])[1]
    )
    one = sample().problem
    run(one, seed=5)
    run(one, seed=6, populations=3, chains=4, length=6, threads=2, progress=print, sweeps=2,
        flags=2, ess_fraction=0.3)  # fmt: skip
    assert asked == [
        (encode(one, seed=5, draws=512), {"populations": 8, "threads": None, "progress": None}),
        (encode(one, seed=6, draws=24, sweeps=2, flags=2, ess_fraction=0.3),
         {"populations": 3, "threads": 2, "progress": print}),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("code", "index", "said"),
    [(-10, 0, "evidence row 0 has a weight that is negative or not finite (voids [0, 1, 2])"),
     (-11, 0, "evidence row 0 is all zero: its signs contradict each other (voids [0, 1, 2])"),
     (-4, 3, "passage 3 joins a void that does not exist, or a void with itself")],
)  # fmt: skip
def test_a_row_that_is_refused_is_quoted_with_its_first_three_voids(monkeypatch, code, index, said):
    def refuse(data, **more):
        raise KernelError(code, index)

    monkeypatch.setattr(kernel, "run_bytes", refuse)
    one = sample().problem
    one = kernel.msgspec.structs.replace(one, row_of=np.zeros(7, np.int32))
    with pytest.raises(KernelError) as found:
        run(one, seed=1)
    assert (str(found.value), found.value.code, found.value.index) == (said, code, index)


def test_a_fault_says_what_and_where():
    assert (KernelError(-17).code, KernelError(-17).index) == (-17, -1)
    assert str(KernelError(-6, 4)) == "source 4 sits at a void that does not exist"
    assert str(KernelError(-1000, 4)) == "unknown fault 4"
    assert str(KernelError(-91, where="boom")) == "the kernel stopped with a fault of its own: boom"


# One instance.


class Memory:
    def __init__(self):
        self.written, self.asked = [], []

    def write(self, store, data, pointer):
        self.written.append((store, data, pointer))

    def read(self, store, start, end):
        self.asked.append((store, start, end))
        return bytearray(range(end - start))


def instance(**exports):
    """An instance whose exports are given: name -> answer, or a function of what it is given."""
    one = Instance.__new__(Instance)
    one._store, one.calls, one.module_digest = "store", [], "module"
    one._trap, one._other_trap = ZeroDivisionError, LookupError

    def export(name, answer):
        def called(store, *given):
            one.calls.append((name, store, *given))
            return answer(*given) if callable(answer) else answer

        return called

    one._exports = {name: export(name, answer) for name, answer in exports.items()}
    one._exports["memory"] = Memory()
    return one


@pytest.mark.parametrize("kind", [ZeroDivisionError, LookupError])
def test_a_trap_is_a_fault_with_its_first_line(kind):
    def trap():
        raise kind("out of bounds\nat 0x12")

    with pytest.raises(KernelError, match=r"fault of its own: out of bounds$") as found:
        instance(advance=trap).call("advance")
    assert found.value.code == -91


def test_input_is_written_where_there_is_room_for_it():
    one = instance(alloc=-16, setup=0)  # a pointer above 2 GB comes as a number below zero
    one.setup(b"12345", 3)
    assert one._exports["memory"].written == [("store", b"12345", 2**32 - 16)]
    assert one.calls == [("alloc", "store", 5), ("setup", "store", 2**32 - 16, 5, 3)]
    with pytest.raises(KernelError) as found:
        instance(alloc=0).setup(b"1", 0)
    assert found.value.code == -17
    with pytest.raises(KernelError) as found:
        instance(alloc=8, setup=-6, errorIndex=2).setup(b"1", 0)
    assert (found.value.code, found.value.index) == (-6, 2)


def test_a_tilt_is_taken_over_unless_none_was_found():
    one = instance(takeTilt=0)
    for number in (-1, 0, 7):
        one.take_tilt(number)
    assert one.calls == [("takeTilt", "store", 0), ("takeTilt", "store", 7)]
    with pytest.raises(KernelError):
        instance(takeTilt=-18, errorIndex=-1).take_tilt(3)


def test_one_piece_of_work_says_whether_all_is_done():
    assert instance(advance=1).advance() is True
    assert instance(advance=0).advance() is False
    with pytest.raises(KernelError) as found:
        instance(advance=-19, errorIndex=-1).advance()
    assert (found.value.code, found.value.index) == (-19, -1)


def test_a_field_is_copied_from_where_it_lies():
    one = instance(fieldPointer=-8, fieldSize=4)
    assert one.field(5, "u1").tolist() == [0, 1, 2, 3]
    assert one._exports["memory"].asked == [("store", 2**32 - 8, 2**32 - 4)]
    assert one.calls == [("fieldPointer", "store", 5), ("fieldSize", "store", 5)]
    assert one.field(5, "<u2").tolist() == [256, 770]


def test_results_are_read_field_by_field():
    fields = [np.array([-3.5, 0.25, 1.5, 0.0, 2.0, 1.0, 0.75]), np.array([0.5, 1.0]),
              *(np.arange(n * 2, dtype=np.uint8) + n for n in (3, 4, 5, 6, 1)),
              np.array([1, 2], dtype=np.uint8), np.array([-1.0, -2.0])]  # fmt: skip
    asked = []
    one = SimpleNamespace(module_digest="m", field=lambda i, kind: (
        asked.append(kind), fields[i])[1])  # fmt: skip
    data = bytes(48) + struct.pack("<Q", 77)
    told = kernel._read(one, data, 3)
    assert asked == ["<f8", "<f8", "u1", "u1", "u1", "u1", "u1", "u1", "<f8"]
    assert (told.log_evidence, told.log_evidence_se, told.tilt) == (-3.5, 0.5, 1.5)
    assert (told.chains, told.length, told.correction_share) == (2, 1, 0.75)
    assert (told.seed, told.number, told.module_digest) == (77, 3, "m")
    assert told.temperatures.tolist() == [0.5, 1.0]
    for k, name in enumerate(("source", "reach", "soil", "nest", "run"), 2):
        assert np.array_equal(getattr(told, name), fields[k].reshape(2, -1)), name
    assert (told.load.tolist(), told.log_likelihood.tolist()) == ([1, 2], [-1.0, -2.0])
    whole = hashlib.sha256(b"".join(each.tobytes() for each in fields)).hexdigest()
    assert (told.digest, told.input_digest) == (whole, hashlib.sha256(data).hexdigest())


# Several at once.


def test_the_first_tilt_told_is_kept_and_a_stop_ends_the_waiting():
    tilt = SharedTilt()
    stop = STOP()
    stop.set()
    assert tilt.wait(stop) is None
    tilt.tell(5)
    tilt.tell(7)
    assert tilt.wait(STOP()) == tilt.wait(stop) == 5


class Worker:
    """An instance that takes three pieces of work and finds its tilt in the second."""

    def __init__(self):
        self.done, self.told = 0, []
        self.fails = False

    def setup(self, data, number):
        self.told.append((data, number))

    def take_tilt(self, number):
        self.told.append(number)

    def advance(self):
        if self.fails and self.done == 1:
            raise KernelError(-19)
        self.done += 1
        return self.done == 3

    def call(self, name):
        return {"progress": self.done / 4, "tiltFound": 9 if self.done == 2 else -1}[name]


def work(monkeypatch, number, tilt, stop=None, **changed):
    worker = Worker()
    vars(worker).update(changed)
    monkeypatch.setattr(kernel, "Instance", lambda: worker)
    monkeypatch.setattr(kernel, "_read", lambda *given: given)
    reached = [0.0, 0.0, 0.0]
    return worker, reached, lambda: kernel._run_one(b"in", number, reached, stop or STOP(), tilt)


def test_the_first_population_finds_the_tilt_and_the_others_take_it(monkeypatch):
    tilt = SharedTilt()
    worker, reached, go = work(monkeypatch, 0, tilt)
    assert go() == (worker, b"in", 0)
    assert (worker.told, reached, tilt.wait(STOP())) == ([(b"in", 0)], [1.0, 0.0, 0.0], 9)
    worker, reached, go = work(monkeypatch, 2, tilt)
    assert go() == (worker, b"in", 2)
    assert (worker.told, reached) == ([(b"in", 2), 9], [0.0, 0.0, 1.0])


def test_where_the_first_fails_the_others_need_not_wait_and_a_stop_stops(monkeypatch):
    tilt = SharedTilt()
    _, reached, go = work(monkeypatch, 0, tilt, fails=True)
    with pytest.raises(KernelError):
        go()
    assert reached == [0.25, 0.0, 0.0]
    assert tilt.wait(STOP()) == -1
    stop = STOP()
    stop.set()
    worker, _, go = work(monkeypatch, 1, tilt, stop)
    with pytest.raises(KernelError) as found:
        go()
    assert (found.value.code, worker.done) == (-18, 1)
    other = SharedTilt()
    worker, _, go = work(monkeypatch, 1, other, stop)
    with pytest.raises(KernelError) as found:
        go()
    assert (found.value.code, worker.done) == (-18, 0)
    assert other.wait(stop) is None, "only the first tells"


class Pool:
    """Does the work at once, in the order in which it is handed in."""

    asked = ()

    def __init__(self, threads):
        type(self).asked = threads

    def __enter__(self):
        return self

    def __exit__(self, *_):
        return None

    def submit(self, job, *given):
        if self.asked == 99:
            raise RuntimeError("no thread")
        future = kernel.Future()
        try:
            future.set_result(job(*given))
        except KernelError as error:
            future.set_exception(error)
        return future


def test_every_population_shares_progress_stop_and_tilt(monkeypatch):
    asked = []

    def one(data, number, reached, stop, tilt):
        asked.append((data, number, reached, stop, tilt))
        reached[number] = 0.5
        assert not stop.is_set()
        return number

    monkeypatch.setattr(kernel, "ThreadPoolExecutor", Pool)
    monkeypatch.setattr(kernel, "_run_one", one)
    seen = []
    assert run_bytes(b"x", populations=3, progress=seen.append) == [0, 1, 2]
    assert seen == [0.5]
    assert [each[:2] for each in asked] == [(b"x", 0), (b"x", 1), (b"x", 2)]
    assert len({id(part) for each in asked for part in each[2:]}) == 3
    assert asked[0][3].is_set(), "who still works is told to stop"
    assert Pool.asked == min(3, os.cpu_count() or 1)
    run_bytes(b"x", populations=3, threads=2)
    assert Pool.asked == 2
    assert len(run_bytes(b"x")) == 8
    with pytest.raises(KernelError) as found:
        run_bytes(b"x", threads=99)
    assert found.value.code == -92

    def refuse(*given):
        raise KernelError(-6, given[1])

    monkeypatch.setattr(kernel, "_run_one", refuse)
    with pytest.raises(KernelError, match="source 0"):
        run_bytes(b"x", populations=1)


# The module.


@pytest.mark.parametrize(
    ("fails", "code"), [(ImportError, -90), (AttributeError, -90), (TypeError, -90)]
)
def test_a_library_that_is_missing_or_too_old_is_told(monkeypatch, fails, code):
    def missing(name):
        raise fails(name)

    monkeypatch.setattr(kernel.importlib, "import_module", missing)
    with pytest.raises(KernelError) as found:
        kernel.load_module.__wrapped__()
    assert found.value.code == code
    assert set(PROBLEMS) >= {-90, -91, -92}


class NoRoomError(Exception):
    pass


def library(**changed):
    fields = {
        "WasmtimeError": NoRoomError, "Trap": LookupError, "Engine": lambda: "engine",
        "Module": lambda engine, code: (engine, code), "Store": lambda engine: engine,
    }  # fmt: skip
    return SimpleNamespace(**{**fields, **changed})


def no_room(*_):
    raise NoRoomError


def test_the_module_is_compiled_with_its_digest_and_lack_of_room_is_told(monkeypatch):
    monkeypatch.setattr(kernel.importlib, "import_module", {"wasmtime": library()}.__getitem__)
    monkeypatch.setattr(kernel, "module_bytes", lambda: b"code")
    assert kernel.load_module.__wrapped__() == (
        "engine", ("engine", b"code"), hashlib.sha256(b"code").hexdigest())  # fmt: skip
    for part in ("Engine", "Module"):
        full = {"wasmtime": library(**{part: no_room})}
        monkeypatch.setattr(kernel.importlib, "import_module", full.__getitem__)
        with pytest.raises(KernelError) as found:
            kernel.load_module.__wrapped__()
        assert found.value.code == -92


def test_an_instance_has_a_store_of_its_own_and_gives_it_back(monkeypatch):
    closed = []
    store = SimpleNamespace(close=lambda: closed.append("store"))
    made = SimpleNamespace(exports=lambda given: {"its": given})
    lib = library(Store=lambda engine: store if engine == "engine" else None,
                  Instance=lambda *given: made if given == (store, "module", []) else 0,
    )  # fmt: skip
    monkeypatch.setattr(kernel.importlib, "import_module", {"wasmtime": lib}.__getitem__)
    monkeypatch.setattr(kernel, "load_module", lambda: ("engine", "module", "digest"))
    monkeypatch.setattr(kernel, "_open", set())
    one = Instance()
    assert (one._exports, one.module_digest) == ({"its": store}, "digest")
    assert (one._trap, one._other_trap, kernel._open) == (NoRoomError, LookupError, {one})
    one.close()
    assert closed == ["store"]
    lib.Store = no_room
    with pytest.raises(KernelError) as found:
        Instance()
    assert found.value.code == -92


@pytest.mark.parametrize("loaded", [0, 1])
def test_all_is_closed_before_the_library_is_torn_down(monkeypatch, loaded):
    closed = []

    def closing(name):
        return SimpleNamespace(close=lambda: closed.append(name))

    def load():
        return closing("engine"), closing("module"), ""

    load.cache_info = lambda: SimpleNamespace(currsize=loaded)
    load.cache_clear = lambda: closed.append("forgotten")
    monkeypatch.setattr(kernel, "load_module", load)
    monkeypatch.setattr(kernel, "_open", [closing("instance")])
    kernel._close_all()
    assert closed == ["instance", *["module", "engine"] * loaded, "forgotten"]
