/* Whole numbers as a tactic counts: 16 bits, each operation worked out in 32 and stopped at the
 * nearest end if it does not fit; division drops the fraction toward zero, and by zero gives 0. */
#ifndef WHOLE_H
#define WHOLE_H

#include <stdbool.h>
#include <stdint.h>

static inline int16_t stopped(int32_t x)
{
    if (x > INT16_MAX) {
        return INT16_MAX;
    }
    return x < INT16_MIN ? INT16_MIN : (int16_t)x;
}

static inline int16_t add(int16_t a, int16_t b)
{
    return stopped((int32_t)a + b);
}

static inline int16_t subtract(int16_t a, int16_t b)
{
    return stopped((int32_t)a - b);
}

static inline int16_t times(int16_t a, int16_t b)
{
    return stopped((int32_t)a * b);
}

static inline int16_t quotient(int16_t a, int16_t b)
{
    return b == 0 ? 0 : stopped((int32_t)a / b);
}

static inline int16_t share(int16_t a, int16_t b, int16_t c)
{
    return c == 0 ? 0 : stopped((int32_t)a * b / c);
}

static inline int16_t effort(int16_t x)
{
    if (x > 1000) {
        return 1000;
    }
    return x < -1000 ? -1000 : x;
}

/* Milliseconds; less than none counts as none. */
static inline uint16_t ms(int16_t x)
{
    return x < 0 ? 0 : (uint16_t)x;
}

#endif
