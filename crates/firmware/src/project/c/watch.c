#include "watch.h"

#include "board.h"
#include "robot.h"

#if ROBOT_ENCODERS + ROBOT_ECHOES > 0
/* What the interrupt changes: on 8 bits the two halves may be read with a step between them. */
static uint16_t whole(const volatile uint16_t *x)
{
    uint16_t once = *x;
    uint16_t twice = *x;
    while (once != twice) {
        once = twice;
        twice = *x;
    }
    return once;
}
#endif

#if ROBOT_ENCODERS > 0
static const uint8_t encoder_lines[ROBOT_ENCODERS][2] = ROBOT_ENCODER_LINES;
static volatile uint16_t edges[ROBOT_ENCODERS];
static uint8_t before[ROBOT_ENCODERS];

/* Each edge of either track counts one; both at once tell nothing. */
static void look_at_encoder(uint8_t k)
{
    const uint8_t a = board_is_high(encoder_lines[k][0]) ? 1 : 0;
    const uint8_t b = board_is_high(encoder_lines[k][1]) ? 1 : 0;
    /* 0, 1, 2, 3 in the order of turning forward: 00, 10, 11, 01. */
    const uint8_t stands = (uint8_t)(b << 1 | (a ^ b));
    const uint8_t step = (uint8_t)((stands - before[k]) & 3);
    before[k] = stands;
    if (step == 1) {
        edges[k]++;
    } else if (step == 3) {
        edges[k]--;
    }
}

uint16_t encoder_edges(uint8_t k)
{
    return whole(&edges[k]);
}
#endif

#if ROBOT_ECHOES > 0
/* Whatever has not come back by then does not. */
#define LOST_US 30000u
#define PAUSE_MS 50

static const uint8_t echo_lines[ROBOT_ECHOES][2] = ROBOT_ECHO_LINES;
static volatile uint16_t rose_us[ROBOT_ECHOES], took_us[ROBOT_ECHOES];
static volatile bool was_high[ROBOT_ECHOES], answered[ROBOT_ECHOES];
static uint32_t called_ms[ROBOT_ECHOES];

static void look_at_echo(uint8_t k)
{
    const bool high = board_is_high(echo_lines[k][1]);
    if (high == was_high[k]) {
        return;
    }
    was_high[k] = high;
    const uint16_t now = (uint16_t)board_us();
    if (high) {
        rose_us[k] = now;
    } else {
        const uint16_t took = (uint16_t)(now - rose_us[k]);
        took_us[k] = took < LOST_US ? took : UINT16_MAX;
        answered[k] = true;
    }
}

uint16_t echo_us(uint8_t k)
{
    const uint32_t now = board_ms();
    if (now - called_ms[k] >= PAUSE_MS) {
        if (!answered[k]) {
            took_us[k] = UINT16_MAX;
        }
        answered[k] = false;
        called_ms[k] = now;
        board_put(echo_lines[k][0], true);
        const uint32_t from = board_us();
        while (board_us() - from < 12) {
        }
        board_put(echo_lines[k][0], false);
    }
    return whole(&took_us[k]);
}
#endif

void watched_lines(void)
{
#if ROBOT_ENCODERS > 0
    for (uint8_t k = 0; k < ROBOT_ENCODERS; k++) {
        look_at_encoder(k);
    }
#endif
#if ROBOT_ECHOES > 0
    for (uint8_t k = 0; k < ROBOT_ECHOES; k++) {
        look_at_echo(k);
    }
#endif
}
