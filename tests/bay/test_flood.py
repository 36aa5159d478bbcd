"""Twenty phones that write without a pause: all is taken, nothing is lost or doubled, and the newest state is answered."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from shutil import copytree

from circuitmap.evidence.job_card import read_card
from circuitmap.jobs.job import card_source
from tests.bay.handset import Handset
from tests.bay.served import ROOT, served

PHONES, EACH = 20, 5


def test_a_flood_of_twenty_phones(tmp_path: Path) -> None:
    copytree(ROOT / "sample_vehicles" / "truck", tmp_path / "truck")
    card = tmp_path / "truck" / "jobs" / "0431.yaml"
    before = len(read_card(card_source(card))[0].entries)
    with served(card) as server:
        phones = [Handset(server, f"phone {n}") for n in range(PHONES)]
        for phone in phones:
            phone.pair()
            phone.listen()
        for phone in phones:
            assert phone.came.wait(60)

        def write(phone: Handset) -> list[str]:
            name = phone.who.replace(" ", "")
            return [
                outcome
                for n in range(EACH)
                for outcome in phone.send([(f"{name}entry{n:08d}", f"remark {phone.who} {n}")])
            ]

        with ThreadPoolExecutor(PHONES) as pool:
            outcomes = list(pool.map(write, phones))
        assert outcomes == [["kept"] * EACH] * PHONES
        newest = phones[0].job()
        for phone in phones:
            while phone.latest["revision"] != newest["revision"]:
                phone.came.clear()
                assert phone.latest["revision"] == newest["revision"] or phone.came.wait(60)
        assert len(phones[0].revisions) < PHONES * EACH, "only the newest state is answered, not each on the way"
    read, problems = read_card(card_source(card))
    assert not problems and len(read.entries) == before + PHONES * EACH
    said = sorted(entry.remark.value for entry in read.entries if entry.remark is not None and entry.id is not None)
    assert said == sorted(f"phone {p} {n}" for p in range(PHONES) for n in range(EACH))
    for phone in phones:
        assert [e["says"] for e in phone.latest["entries"]] == [e["says"] for e in newest["entries"]]
