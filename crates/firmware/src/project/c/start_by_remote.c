/* Start by the judge's remote: the start module's line is high from start to stop. After a stop it stands
 * until it is switched off. A line that is high when it is switched on counts only once it has been low;
 * after a brown-out or the watchdog in a bout that the judge has not stopped it goes on. */
#include "start.h"

#include "robot.h"

/* So many looks in a row, against a single disturbance. */
#define LOOKS 2

static uint8_t high_for, low_for;
static bool armed, stopped;

void start_begin(enum reset_cause cause)
{
    high_for = low_for = 0;
    armed = cause == RESET_BROWN_OUT || cause == RESET_WATCHDOG;
    stopped = false;
}

void start_look(uint32_t now)
{
    (void)now;
    if (board_is_high(LINE_START)) {
        low_for = 0;
        high_for = high_for < LOOKS ? (uint8_t)(high_for + 1) : LOOKS;
    } else {
        high_for = 0;
        low_for = low_for < LOOKS ? (uint8_t)(low_for + 1) : LOOKS;
    }
    if (low_for == LOOKS) {
        armed = true;
    }
}

bool start_is_given(void)
{
    return armed && !stopped && high_for == LOOKS;
}

bool start_is_taken_back(void)
{
    return low_for == LOOKS;
}

bool start_is_due(uint32_t now)
{
    (void)now;
    return true;
}

bool start_is_stop(void)
{
    return low_for == LOOKS;
}

void start_stopped(void)
{
    stopped = true;
}

bool start_is_over(void)
{
    return false;
}
