# Whole numbers as a tactic counts: 16 bits, each operation worked out in 32 and stopped at the nearest
# end if it does not fit; division drops the fraction toward zero, and by zero gives 0.


def stopped(x):
    if x > 32767:
        return 32767
    return -32768 if x < -32768 else x


def add(a, b):
    return stopped(a + b)


def subtract(a, b):
    return stopped(a - b)


def times(a, b):
    return stopped(a * b)


def quotient(a, b):
    if b == 0:
        return 0
    q = abs(a) // abs(b)
    return stopped(q if (a < 0) == (b < 0) else -q)


def share(a, b, c):
    return quotient(a * b, c)


def effort(x):
    if x > 1000:
        return 1000
    return -1000 if x < -1000 else x


# Milliseconds; less than none counts as none.
def ms(x):
    return 0 if x < 0 else x


# How far a gadget goes, per mille of its way.
def on_its_way(x):
    return min(max(x, 0), 1000)
