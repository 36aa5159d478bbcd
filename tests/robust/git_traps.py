"""Keys in a repository's own configuration by which git runs a command, and what springs each trap."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Trap:
    """`config`: what the repository's own configuration says, with {trap} for the command and {room} for a folder.

    `git`: the words after `git` that spring it. `attributes`: what stands in `.gitattributes`. `at_terminal`: only
    where git writes to a terminal. `given`: what git reads from its input.
    """

    config: str
    git: str
    attributes: str = ""
    at_terminal: bool = False
    given: str = ""


OWN_BRANCH = '[branch "main"]\n remote = origin\n merge = refs/heads/main\n'
FETCH = ' fetch = +refs/heads/*:refs/remotes/origin/*\n[remote "other"]\n url = {room}/origin\n'

WHOLE = {
    "core.fsmonitor": Trap(config="[core]\n fsmonitor = {trap}\n", git="status"),
    "core.sshCommand": Trap(
        config='[core]\n sshCommand = {trap}\n[remote "origin"]\n url = ssh://nowhere.invalid/x\n' + FETCH, git="fetch"
    ),
    "core.hooksPath": Trap(config="[core]\n hooksPath = {room}/hooks\n", git="commit --allow-empty -m x"),
    "core.hooksPath, index": Trap(config="[core]\n hooksPath = {room}/hooks\n", git="update-index --refresh --again"),
    "core.pager": Trap(config="[core]\n pager = {trap}\n", git="--paginate log", at_terminal=True),
    "pager.NAME": Trap(
        config="[pager]\n log = {trap}\n cat-file = {trap}\n ls-tree = {trap}\n rev-parse = {trap}\n config = {trap}\n",
        git="log",
        at_terminal=True,
    ),
    "core.editor": Trap(config="[core]\n editor = {trap}\n", git="commit --allow-empty"),
    "sequence.editor": Trap(config="[sequence]\n editor = {trap}\n", git="rebase -i HEAD~1"),
    "core.askPass": Trap(
        config="[core]\n askPass = {trap}\n", git="credential fill", given="protocol=https\nhost=nowhere.invalid\n\n"
    ),
    "credential.helper": Trap(
        config="[credential]\n helper = {trap}\n",
        git="credential fill",
        given="protocol=https\nhost=nowhere.invalid\n\n",
    ),
    "core.gitProxy": Trap(
        config='[core]\n gitProxy = {trap}\n[remote "origin"]\n url = git://nowhere.invalid/x\n' + FETCH, git="fetch"
    ),
    "core.alternateRefsCommand": Trap(
        config="[core]\n alternateRefsCommand = {trap}\n", git="rev-list -1 --alternate-refs HEAD"
    ),
    "alias": Trap(
        config="[alias]\n x = !{trap}\n rev-parse = !{trap}\n cat-file = !{trap}\n ls-tree = !{trap}\n config = !{trap}\n",
        git="x",
    ),
    "filter.clean": Trap(
        config='[filter "x"]\n clean = {trap}\n', attributes="*.circuit filter=x", git="add van/a.circuit"
    ),
    "filter.smudge": Trap(
        config='[filter "x"]\n smudge = {trap}\n', attributes="*.circuit filter=x", git="checkout -f HEAD~1 -- van"
    ),
    "filter.process": Trap(
        config='[filter "x"]\n process = {trap}\n', attributes="*.circuit filter=x", git="checkout -f HEAD~1 -- van"
    ),
    "core.attributesFile": Trap(
        config='[filter "x"]\n clean = {trap}\n[core]\n attributesFile = {room}/attributes\n', git="add van/a.circuit"
    ),
    "diff.external": Trap(config="[diff]\n external = {trap}\n", git="diff"),
    "diff.NAME.command": Trap(config='[diff "x"]\n command = {trap}\n', attributes="*.circuit diff=x", git="diff"),
    "diff.NAME.textconv": Trap(config='[diff "x"]\n textconv = {trap}\n', attributes="*.circuit diff=x", git="diff"),
    "merge.NAME.driver": Trap(
        config='[merge "x"]\n driver = {trap}\n', attributes="*.circuit merge=x", git="merge --no-edit side"
    ),
    "mergetool, difftool": Trap(config='[difftool "x"]\n cmd = {trap}\n', git="difftool -y -t x"),
    "gpg.program": Trap(
        config="[gpg]\n program = {trap}\n[commit]\n gpgSign = true\n[log]\n showSignature = true\n",
        git="commit --allow-empty -m x",
    ),
    "gpg.ssh.program": Trap(
        config='[gpg]\n format = ssh\n[gpg "ssh"]\n program = {trap}\n[user]\n signingKey = {room}/key\n',
        git="commit -S --allow-empty -m x",
    ),
    "tar.NAME.command": Trap(config='[tar "x"]\n command = {trap}\n', git="archive --format=x HEAD"),
    "trailer.NAME.command": Trap(
        config='[trailer "x"]\n key = X\n command = {trap}\n', git="interpret-trailers --trailer x=1", given="a\n\nb\n"
    ),
    "remote.NAME.uploadpack": Trap(
        config='[remote "origin"]\n url = {room}/origin\n uploadpack = {trap}\n' + FETCH, git="fetch origin"
    ),
    "remote.NAME.receivepack": Trap(
        config='[remote "origin"]\n url = {room}/origin\n receivepack = {trap}\n' + FETCH, git="push origin main"
    ),
    "remote.NAME.vcs": Trap(config='[remote "origin"]\n vcs = trap\n url = {room}/origin\n', git="fetch origin"),
    "protocol.ext.allow": Trap(
        config='[protocol "ext"]\n allow = always\n[remote "origin"]\n url = ext::{trap}\n' + FETCH, git="fetch origin"
    ),
    "url.insteadOf": Trap(
        config='[protocol "ext"]\n allow = always\n[remote "origin"]\n url = plain:x\n'
        '[url "ext::{trap} "]\n insteadOf = plain:\n',
        git="fetch origin",
    ),
    "include.path": Trap(config="[include]\n path = {room}/more\n", git="status"),
    "includeIf.gitdir": Trap(config='[includeIf "gitdir:**"]\n path = {room}/more\n', git="status"),
    "extensions.worktreeConfig": Trap(
        config="[core]\n repositoryFormatVersion = 1\n[extensions]\n worktreeConfig = true\n", git="status"
    ),
}
"""Repositories in which all objects are there: the answer is given, and nothing is run."""

LAZY = "[core]\n repositoryFormatVersion = 1\n[extensions]\n partialClone = origin\n"
PROMISOR = " promisor = true\n partialCloneFilter = blob:none\n"
READ = "cat-file -p HEAD~1:van/a.circuit"
PARTIAL = {
    "uploadpack": Trap(
        config=LAZY + '[remote "origin"]\n url = {room}/origin\n uploadpack = {trap}\n' + PROMISOR, git=READ
    ),
    "vcs": Trap(config=LAZY + '[remote "origin"]\n url = x\n vcs = trap\n' + PROMISOR, git=READ),
    "ext": Trap(
        config=LAZY + '[protocol]\n allow = always\n[protocol "ext"]\n allow = always\n'
        '[remote "origin"]\n url = ext::{trap}\n' + PROMISOR,
        git=READ,
    ),
    "ssh": Trap(
        config=LAZY + '[core]\n sshCommand = {trap}\n[remote "origin"]\n url = ssh://nowhere.invalid/x\n' + PROMISOR,
        git=READ,
    ),
    "git": Trap(
        config=LAZY + '[core]\n gitProxy = {trap}\n[remote "origin"]\n url = git://nowhere.invalid/x\n' + PROMISOR,
        git=READ,
    ),
    "include": Trap(
        config=LAZY + '[include]\n path = {room}/remote\n[remote "origin"]\n url = {room}/origin\n' + PROMISOR, git=READ
    ),
    "without the extension": Trap(
        config='[remote "origin"]\n url = {room}/origin\n uploadpack = {trap}\n' + PROMISOR, git=READ
    ),
}
"""Repositories in which the earlier state is missing and would be fetched."""

CHOSEN_NAMES = {
    "alias", "filter.clean", "filter.smudge", "filter.process", "diff.NAME.command", "diff.NAME.textconv",
    "merge.NAME.driver", "mergetool, difftool", "tar.NAME.command", "trailer.NAME.command",
}  # fmt: skip
"""Keys with a name that whoever set the trap chose: they cannot be outranked, only avoided."""
