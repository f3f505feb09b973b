"""What a style's `face` may say to the drawing about lamps, grille, wheels and exhausts; nothing of it changes a measure."""

WORDS: dict[str, tuple[str, ...]] = {
    "grille": ("bars", "vert", "mesh"),
    "intakep": ("bars", "vert", "mesh"),
    "frame": ("chrome", "gloss"),
    "lamp": ("proj2", "proj3", "blocks4", "round1", "round2", "slit"),
    "drl": ("low", "top", "L", "C", "two", "ring"),
    "tail": ("strip", "L", "vert", "blocks", "ring"),
    "tail_bar": ("between", "none"),
    "wheel": ("twin5", "blade5", "multi10", "turbine", "block6", "star7", "mesh", "steel", "aero"),
    "wheel_finish": ("silver", "dark"),
}
"""Key -> the words it may have: patterns of grille (`grille`) and lower intake (`intakep`), the grille's frame, the headlamp's modules and
daytime light, the tail lamp, the band of light between the tail lamps, the wheel and its finish."""

NUMBERS: dict[str, tuple[float, float]] = {"n": (1, 12), "pitch": (20, 160), "intake_pitch": (20, 160), "drlw": (4, 30)}
"""Key -> least and most: bars in the grille, mm from bar to bar, mm of breadth of the daytime light."""

LISTS: dict[str, int] = {"lampspan": 2, "chromebar": 0}
"""Key -> how many shares (0 to 1) its list holds; 0: any number. Where modules lie along the lamp, and bright bars up the grille."""

EXHAUSTS = "exhausts"
"""Tips on the right half of the tail; their twins lie on the left. Each is [across, up, long, tall]: where it lies as shares of the rear
bumper's half width and height, and its own breadth and height in mm."""
EXHAUST_NUMBERS = 4
KEYS = (*WORDS, *NUMBERS, *LISTS, EXHAUSTS)
