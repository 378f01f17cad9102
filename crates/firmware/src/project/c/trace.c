#include "trace.h"

#include "names.h"
#include "robot.h"
#include "say.h"
#include "serial.h"

static uint16_t missed;

void trace_head(void)
{
    say(TEXT(ROBOT_TRACE_HEAD));
}

void trace_begin(uint8_t opening, uint16_t noise)
{
    missed = 0;
    say(TEXT("# opening "));
    say(opening_name(opening));
    say_with(TEXT("\n# noise "), noise, TEXT("\n"));
}

void trace_look(uint32_t ms, const int16_t readings[TACTIC_INPUTS], const struct tactic_order *order)
{
    if (serial_room() < ROBOT_TRACE_ROOM) {
        missed++;
        return;
    }
    if (missed > 0) {
        say_with(TEXT("# missed "), missed, TEXT("\n"));
        missed = 0;
    }
    say_with(TEXT(""), (int32_t)ms, TEXT(","));
    for (uint8_t k = 0; k < TACTIC_INPUTS; k++) {
        say_with(TEXT(""), readings[k], TEXT(","));
    }
    say_with(TEXT(""), order->left, TEXT(","));
    say_with(TEXT(""), order->right, TEXT(","));
    say(state_name(tactic_state()));
    say(TEXT(","));
    if (tactic_reflex() != TACTIC_NONE) {
        say(reflex_name(tactic_reflex()));
    }
    say(TEXT("\n"));
}
