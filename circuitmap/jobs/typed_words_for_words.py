"""What people say at the car, and how a card writes it: `pulled F22` is `out F22`."""

import re

_OUT = "pulled|pull|removed|remove|unplugged|unplug|disconnected|disconnect|took out|taken out|take out|opened"
_BACK = "refitted|refit|plugged in|plugged|plug in|put back|reconnected|reconnect|back in|in again|in"
_NAME = r"(\S.*?)"
_SIGN = r"(burning|burns|lit|glowing|warm|hot|smells?|wet|damp|water|corroded|chafed|rubbed|pinched)"
_CHANGE = r"(gone|less|no change|unchanged)"


def _said(pattern: str, written: str) -> tuple[re.Pattern[str], str]:
    return re.compile(pattern, re.IGNORECASE), written


WORDS_FOR_WORDS: tuple[tuple[re.Pattern[str], str], ...] = (
    _said(rf"{_NAME} (?:is |was )?(?:{_OUT}|out)[:,]? {_CHANGE}", r"out \1: \2"),
    _said(rf"{_CHANGE} with {_NAME} (?:{_OUT}|out)", r"out \2: \1"),
    _said(r"(\S+) from (\S+)", r"fitted \1 from \2"),
    _said(rf"(?:{_OUT}) {_NAME}", r"out \1"),
    _said(rf"{_NAME} (?:is |was )?(?:{_OUT}|out)", r"out \1"),
    _said(rf"(?:{_BACK}) {_NAME}", r"back \1"),
    _said(rf"{_NAME} (?:is |was )?(?:{_BACK}|back)", r"back \1"),
    _said(rf"{_NAME} (?:is |was )?(?:seen |found )?{_SIGN}", r"found \1 \2"),
    _said(rf"(?:seen |saw )?{_SIGN} {_NAME}", r"found \1 \2"),
    _said(rf"(?:seen|saw) {_NAME}", r"found \1"),
    _said(r"(?:all|everything) (?:is )?(?:back|back in|in again|refitted)", "back all"),
    _said(r"(?:battery )?(\S+) at rest", r"battery rest \1"),
    _said(r"(?:rest|resting|at rest)(?: volts)? (\S+)", r"battery rest \1"),
    _said(r"(?:charging|charges at|alternator)(?: volts)? (\S+)", r"battery charging \1"),
    _said(r"battery (fine|good|passed|bad|failed|weak)", r"battery test \1"),
    _said(rf"{_NAME} (?:has )?(?:its |a )?(?:own battery|battery of its own)", r"own-battery \1"),
    _said(rf"(?:switched|turn|flipped) {_NAME} (\S+)", r"turned \1 \2"),
    _said(rf"{_NAME} (silent|unsteady|answers)", r"scan \2 \1"),
    _said(rf"scan {_NAME} (silent|unsteady|answers)", r"scan \2 \1"),
    _said(rf"(silent|unsteady|answers) {_NAME}", r"scan \1 \2"),
    _said(rf"{_NAME} (feed|ground|inputs|outputs) (\S+)", r"tested \1 \2 \3"),
    _said(r"(?:i |car |van |truck |vehicle )?(?:lock|locked|locked up|lock up|locked it|is locked)", "locked"),
    _said(r"(?:unlock|unlocked|open|opened it|open up)", "opened"),
    _said(r"(?:door open|open door|opened (?:a |the )?door|door|doors? opened)", "door opened"),
    _said(r"(?:door closed|closed? (?:the |a )?door|shut (?:the |a )?door|doors? shut)", "door shut"),
    _said(r"(?:key|keyon|key-on|ign(?:ition)?(?: is)? on|key in|run|engine on|started)", "key on"),
    _said(r"(?:keyoff|key-off|ign(?:ition)?(?: is)? off|key out|engine off)", "key off"),
    _said(r"(?:charger|charging|charger connected|charger in)", "charger on"),
    _said(r"(?:charger removed|charger out|not charging)", "charger off"),
    _said(r"(?:zero|zero'd|zeroed? (?:the )?(?:clamp|meter|leads)|(?:clamp|meter|leads) zeroed)", "zeroed"),
    _said(r"(?:look|looked|looking)\b.*(?:nothing|round|around)|nothing (?:found|seen)", "looked"),
    _said(r"(?:note|notes|comment|memo|rem):? (.+)", r"remark \1"),
    _said(r"(?:picture|pic|image):? (.+)", r"photo \1"),
    _said(r"(?:fixed|repaired|replaced):? (.+)", r"mended \1"),
    _said(r"(?:to mend|to repair|to do|todo):? (.+)", r"to-mend \1"),
    _said(r"until then:? (.+)", r"until-then \1"),
    _said(r"(?:others? says?|customer says?|driver says?|owner says?):? (.+)", r"claim \1"),
    _said(r"(?:culprit|fault|guilty)(?: is)?:? (.+)", r"cause \1"),
    _said(r"(?:test) (.+)", r"tested \1"),
    _said(r"(?:logged|logger) (.+)", r"log \1"),
    _said(r"(?:scanned) (.+)", r"scan \1"),
    _said(r"(?:total current|total draw|battery total|all together|sum) (.+)", r"total \1"),
)
"""The pattern of what was said, and what is written for it; it is offered only if it can then be read."""
