"""What holds for every job, whatever step is taken (rule of the trade: common practice, no source)."""

FOR_THE_JOB = (
    "The maker's procedure, local rules and licensed practice come first. Restraint, pyrotechnic, high-voltage and gas "
    "systems, and what is sealed by law, are not tested this way: nothing here gives authority to unplug, probe or "
    "measure them.",
    "Brake on, out of gear, window down, key outside; lift, trailer and air springs secured before work begins.",
    "Never bridge a fuse, never fit a bigger one.",
)
"""What holds for every job, said in full where it begins, and on the sheets that are carried to the vehicle."""
ON_EACH_ANSWER = (
    "The maker's procedure, local rules and licensed practice come first. No authority here over restraint, "
    "pyrotechnic, high-voltage, gas or sealed systems. Brake on, key outside, window down; lift, trailer, air springs "
    "secured. No bridged or bigger fuse.",
)
"""The same in short, below each answer; what one step needs stands at that step."""
