# From what a line measures to what a tactic reads.
NOTHING = 32767


# 0 where `raw` is `black`, 1000 where it is `white`, stopped at both.
def brightness(raw, black, white):
    if black == white:
        return 0
    return min(max((raw - black) * 1000 // (white - black), 0), 1000)


# Distance in mm of a sensor whose voltage is `offset_mv` + `slope` / distance.
def triangulated_mm(mv, slope, offset_mv, farthest_mm):
    over = mv - offset_mv
    if over <= 0 or slope // over > farthest_mm:
        return NOTHING
    return slope // over
