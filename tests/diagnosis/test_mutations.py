"""The errors of reasoning that are put into the code on demand (`python -m tests.diagnosis.mutations`) still have their
place in it, and the result is still valid Python."""

import pytest

from tests.diagnosis.mutations import MUTATIONS, ROOT, Mutation


@pytest.mark.parametrize("mutation", MUTATIONS, ids=lambda mutation: mutation.name)
def test_each_has_its_place(mutation: Mutation) -> None:
    text = (ROOT / mutation.file).read_text("utf-8")
    assert text.count(mutation.before) == 1
    compile(text.replace(mutation.before, mutation.after), mutation.file, "exec")
    assert all((ROOT / test).exists() for test in mutation.tests)
