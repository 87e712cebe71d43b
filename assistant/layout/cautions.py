"""The cautions the answers owe, in plain words. Short, so that they are read; each with what to do."""

from __future__ import annotations

__all__ = [
    "ALLOW_FOR_WELD",
    "BEND_TEST_STRIP",
    "BIGGER_IS_BETTER",
    "BOTH_HANDS",
    "BRANCH_FIT",
    "BY_THE_METAL",
    "CAMBER_DRAWING",
    "CODE_WELDER",
    "FINISHED_FLOOR",
    "GIVE_IT_BACK",
    "GUARD_BALL",
    "GUARD_ENGINEER",
    "HEAVY",
    "HOT_STEEL",
    "KERF_IN_SCRAP",
    "LIFTING",
    "MACHINE_GUARD",
    "MEASURE_AGAIN",
    "MEASURE_FITTING",
    "ONE_END",
    "PEOPLE_WALK",
    "PIPE_SIZE",
    "RADIUS_FROM_DIE",
    "RISERS_SAME",
    "ROLLS_WASTE",
    "ROUND_ROOT",
    "RULE_OF_THUMB",
    "SAME_EDGES",
    "SAW_SCALE",
    "SIDES_FIRST",
    "STEP_TO_CHECK",
    "STICK_TIGHT",
    "STRAIGHT_EDGE",
    "TAPE_SNUG",
    "TO_CENTERS",
    "TRY_ONE",
    "USE_DRAWING",
    "WEB_OR_HEEL",
    "WEIGHT_IS_A_GUIDE",
    "WORKING_LINE",
]

ONE_END = "All marks from one end. Don't step them off."
SAME_EDGES = "All from the same two edges. Near side and far side are mirrored."
GIVE_IT_BACK = "Burning an inch? Give it back."
TRY_ONE = "Try one piece before you cut them all."
MEASURE_FITTING = "Measure your own fitting, center to end. A short radius elbow takes off less."
SIDES_FIRST = "Check your sides before your diagonals."
MEASURE_AGAIN = "Those diagonals don't go with those sides. Measure all six again."
BIGGER_IS_BETTER = "Use the biggest triangle that fits."
WORKING_LINE = "That is the working line. Take off for gussets and gaps yourself."
STEP_TO_CHECK = "Lay out from the center lines. Step the chord only to check: it must land on the first punch."
KERF_IN_SCRAP = "Keep your line. Kerf goes in the scrap."
STICK_TIGHT = "A tight stick needs a true kerf. Measure the bar and your slot first."
SAW_SCALE = "Some saws read off square, some off the fence. Check yours on a scrap."
ROUND_ROOT = "Angle is round inside the root. Nip the corner of the cope to clear it."
BOTH_HANDS = "Frame corners pair up: cut one of each pair the opposite hand."
BY_THE_METAL = "A gauge goes by the metal. Measure the sheet or the wall."
RULE_OF_THUMB = "A rule of thumb: nothing is taken off for it. Weld a test joint and measure."
HOT_STEEL = "Hot steel is long. Let it cool, then measure."
ALLOW_FOR_WELD = "Weld pulls. Tack, check, weld, check."
PIPE_SIZE = "Pipe size is not the outside size."
CODE_WELDER = "Pressure, gas, steam or hydraulic: code welder, code procedure, engineer. I only give the shape."
BEND_TEST_STRIP = "Bend a test strip first. Your brake decides."
ROLLS_WASTE = "Rolls leave flat ends. Allow extra at both ends and trim."
STRAIGHT_EDGE = "Ordinates stand square off the chord."
CAMBER_DRAWING = "Camber and heat on a beam come from the drawing or the engineer."
USE_DRAWING = "Bolt size, hole size, edge distance: use the drawing."
WEB_OR_HEEL = "Beams: lay off from the web center. Angles and channels: from the heel."
PEOPLE_WALK = "People walk on this. Check the building code and the inspector."
RISERS_SAME = "All risers the same. An odd step trips people."
GUARD_BALL = "A four-inch ball must not go through, unless your code says different."
MACHINE_GUARD = "Machine guard: no hand may reach the moving part. Ask the safety man."
GUARD_ENGINEER = "A rail has to hold a man. An engineer picks posts and bolts."
WEIGHT_IS_A_GUIDE = "Weight is figured from the size. Add hooks, weld, and what's inside."
HEAVY = "This is heavy. Get a hoist or more hands."
LIFTING = "Stay out from under it. Lugs, hooks and slings: engineer only."
BRANCH_FIT = "Branch outside size for an outside fit, inside size for a set-on fit."
TAPE_SNUG = "Pull the tape snug and square around. A thick tape reads long."
TO_CENTERS = "Set and roll go to pipe centers, not faces."
RADIUS_FROM_DIE = "Use the radius your tooling leaves inside, not what the drawing hopes for. Too tight cracks."
FINISHED_FLOOR = "Measure from finished floor to finished floor."
