"""The promises of reading: never an exception, always a place inside the file, and no line ever changes another."""

import re

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from lark import Token as LarkToken
from lark import Tree
from lark.exceptions import UnexpectedInput

from circuitmap.notation.compile_grammar import parser_from_grammar
from circuitmap.notation.lines import comment_start
from circuitmap.notation.parser import Node, Token, read_tree
from circuitmap.notation.reading import read_text
from circuitmap.notation.tidy import tidy
from circuitmap.reports.problems.problems_json import problem_json
from circuitmap.reports.problems.problems_text import problems_text
from circuitmap.source import SourceFile
from tests.properties.notation_texts import all_said, files, layouts, said, statements, texts, words

modest = settings(max_examples=150, deadline=None)


def read(text: str):
    return read_text(SourceFile("a.circuit", text))


def as_values(tree):
    """A tree of Lark or of ours, as plain values."""
    if isinstance(tree, LarkToken):
        return (tree.type, str(tree), tree.start_pos)
    if isinstance(tree, Token):
        return (tree.symbol, tree.text, tree.start)
    if isinstance(tree, Tree):
        return (str(tree.data), [as_values(child) for child in tree.children])
    return (tree.rule, [as_values(child) for child in tree.children])


def tree_by_lark(text: str):
    try:
        return as_values(parser_from_grammar().parse(text))
    except UnexpectedInput:
        return None


@modest
@given(st.data())
def test_statements_are_read_as_lark_reads_them(data):
    text = data.draw(layouts(data.draw(statements())))
    tree = read_tree(text, 0, len(text))
    assert isinstance(tree, Node)
    assert as_values(tree) == tree_by_lark(text)


@pytest.mark.parametrize("text", ["resistor 30", "diode 30", "relay K make with resistor 30", "naming X* lamp"])
def test_a_number_is_a_name_where_a_name_stands(text: str) -> None:
    tree = read_tree(text, 0, len(text))
    assert isinstance(tree, Node)
    assert as_values(tree) == tree_by_lark(text)


@modest
@given(st.lists(words, min_size=1, max_size=12))
def test_what_lark_refuses_is_refused(tokens):
    text = " ".join(tokens)
    tree = read_tree(text, 0, len(text))
    assert (as_values(tree) if isinstance(tree, Node) else None) == tree_by_lark(text)


@modest
@given(st.data())
def test_a_statement_that_misses_a_word_is_refused_where_lark_refuses_it(data):
    tokens = data.draw(statements())
    del tokens[data.draw(st.integers(0, len(tokens) - 1))]
    text = " ".join(tokens)
    tree = read_tree(text, 0, len(text))
    assert (as_values(tree) if isinstance(tree, Node) else None) == tree_by_lark(text)


@settings(max_examples=300, deadline=None)
@given(texts)
def test_any_text_gives_problems_and_never_an_exception(text):
    source = SourceFile("a.circuit", text)
    notation, problems = read_text(source)
    keys = [(p.code, p.span.start, p.span.end, p.headline) for p in problems]
    assert len(set(keys)) == len(keys)
    for problem in problems:
        for span in (problem.span, *(related.span for related in problem.related)):
            assert 0 <= span.start <= span.end <= len(text)
            assert 1 <= span.line <= text.count("\n") + 1
        assert problem_json(problem)["line"] == problem.span.line
    for statement in notation.statements:
        assert 0 <= statement.span.start < statement.span.end <= len(text)
    shown = problems_text(problems)
    assert shown.replace("\n", "").replace("\t", "").isprintable()


@modest
@given(files())
def test_what_the_grammar_allows_is_read_whole(text):
    notation, problems = read(text)
    assert {problem.code for problem in problems} <= {
        "bad-quantity",
        "bad-name",
        "bad-row",
        "said-twice",
        "several-ends",
    }
    assert notation.unread == ()


@modest
@given(st.lists(statements(8), min_size=2, max_size=5), st.data())
def test_a_broken_line_never_changes_what_the_others_say(several, data):
    lines = [" ".join(tokens) for tokens in several]
    place = data.draw(st.integers(0, len(lines) - 1))
    broken = data.draw(texts.filter(lambda text: "\n" not in text and text[:1].strip() and text[0] != "#"))
    assume(read_tree(broken, 0, len(broken)) and not isinstance(read_tree(broken, 0, len(broken)), Node))
    # A line that reads as the continuation of its neighbour, except that it is not indented, does belong to it.
    for pair in (lines[place - 1 : place], lines[place + 1 : place + 2]):
        for joined in [f"{pair[0]}\n {broken}", f"{broken}\n {pair[0]}"] if pair else []:
            assume(not isinstance(read_tree(joined, 0, len(joined)), Node))
    others = [said(s) for n, line in enumerate(lines) if n != place for s in read(line)[0].statements]
    lines[place] = broken
    notation, problems = read("\n".join(lines))
    its_own = [s for s in notation.statements if s.span.line == place + 1]
    assert [said(s) for s in notation.statements if s not in its_own] == others
    assert any(problem.span.line == place + 1 for problem in problems)


def comments_of(text: str) -> list[str]:
    lines = re.split(r"\r?\n", text)
    return [line[comment_start(line) :].rstrip() for line in lines if comment_start(line) < len(line)]


@modest
@given(files() | texts)
def test_tidy_keeps_what_is_said_and_every_comment_and_is_done_at_once(text):
    source = SourceFile("a.circuit", text)
    tidied = tidy(source)
    assert tidy(SourceFile("a.circuit", tidied)) == tidied
    before, problems_before = read_text(source)
    after, problems_after = read(tidied)
    assert all_said(after.statements) == all_said(before.statements)
    assert [p.headline for p in problems_after] == [p.headline for p in problems_before]
    assert comments_of(tidied) == comments_of(text)


@modest
@given(files())
def test_the_kind_of_line_ends_changes_no_place(text):
    notation, problems = read(text)
    windows, windows_problems = read(text.replace("\n", "\r\n"))
    assert all_said(windows.statements) == all_said(notation.statements)
    assert [p.span.place() for p in windows_problems] == [p.span.place() for p in problems]
    assert [s.span.place() for s in windows.statements] == [s.span.place() for s in notation.statements]
