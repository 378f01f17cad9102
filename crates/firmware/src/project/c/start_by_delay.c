/* Start by a button, pressed at the judge's signal: it stands for ROBOT_WAIT_MS and moves. Pressed again,
 * it stops. A button held while the program begins counts only once it has been let go of. */
#include "start.h"

#include "robot.h"

/* A button bounces for some milliseconds. */
#define STEADY_MS 20

static uint32_t changed_ms;
static uint32_t pressed_ms;
static bool seen, pressed, armed, given, again;

void start_begin(enum reset_cause cause)
{
    (void)cause;
    changed_ms = board_ms();
    pressed_ms = 0;
    seen = pressed = true;
    armed = given = again = false;
}

void start_look(uint32_t now)
{
    const bool down = !board_is_high(LINE_START);
    given = again = false;
    if (down != seen) {
        seen = down;
        changed_ms = now;
    }
    if (pressed != seen && now - changed_ms >= STEADY_MS) {
        pressed = seen;
        if (!pressed) {
            armed = true;
        } else if (armed) {
            given = again = true;
            pressed_ms = changed_ms;
        }
    }
}

bool start_is_given(void)
{
    return given;
}

bool start_is_taken_back(void)
{
    return again;
}

/* The time runs from the press; it does not drive into a hand that is still on the button. */
bool start_is_due(uint32_t now)
{
    return !pressed && now - pressed_ms >= ROBOT_WAIT_MS;
}

bool start_is_stop(void)
{
    return again;
}

void start_stopped(void)
{
}

bool start_is_over(void)
{
    return !pressed;
}
