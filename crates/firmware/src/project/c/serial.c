#include "serial.h"

#include "board.h"
#include "robot.h"

/* Characters that wait to be heard. */
#define HEARS 8u

/* Each end of a queue is moved by one side only, the program or an interrupt, and is a single byte. */
static volatile uint8_t say_from, say_to, hear_from, hear_to;
static volatile char says[ROBOT_SAYS], hears[HEARS];

#define NEXT(k) ((uint8_t)(((k) + 1u) & (ROBOT_SAYS - 1u)))

bool serial_say(char c)
{
#if ROBOT_SERIAL
    const uint8_t next = NEXT(say_to);
    if (next == say_from) {
        return false;
    }
    says[say_to] = c;
    say_to = next;
    board_send();
    return true;
#else
    (void)c;
    return false;
#endif
}

uint8_t serial_room(void)
{
    return (uint8_t)((say_from - say_to - 1) & (ROBOT_SAYS - 1));
}

int16_t serial_next(void)
{
    if (say_from == say_to) {
        return -1;
    }
    const char c = says[say_from];
    say_from = NEXT(say_from);
    return (uint8_t)c;
}

void serial_hear(char c)
{
    const uint8_t next = (uint8_t)((hear_to + 1u) % HEARS);
    if (next != hear_from) {
        hears[hear_to] = c;
        hear_to = next;
    }
}

int16_t serial_heard(void)
{
    if (hear_from == hear_to) {
        return -1;
    }
    const char c = hears[hear_from];
    hear_from = (uint8_t)((hear_from + 1u) % HEARS);
    return (uint8_t)c;
}
