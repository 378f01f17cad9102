#include "bench.h"

#include "board.h"
#include "motors.h"
#include "names.h"
#include "robot.h"
#include "run.h"
#include "say.h"
#include "sensors.h"
#include "serial.h"
#include "tactic.h"

/* Wheels up: so much, for so long, and a rest between. */
#define TRY_EFFORT 300
#define TRY_MS 500
#define REST_MS 300
/* Readings on the screen. */
#define SHOW_MS 250
/* A line of a table must find room as a whole. */
#define LINE_ROOM 90
/* Black and white nearer than this to what is asked of the border are too near: a ring's light, dust and
 * a robot's wobble take that much. */
#define LEAST_MARGIN 150

static enum { NOTHING, SHOWS, BORDER, ASKS, TRIES } doing;
static uint32_t since_ms;
static uint8_t at;
/* The border aid: the least and the most each sensor has measured. */
static uint16_t least[TACTIC_INPUTS], most[TACTIC_INPUTS];

void bench_end(void)
{
    if (doing == TRIES) {
        motors_off();
    }
    doing = NOTHING;
}

static void help(uint16_t battery_mv)
{
    say(TEXT("# s sensors, b border aid, t wheels-up test, r trace "));
    say(run_traces() ? TEXT("off") : TEXT("on"));
    if (battery_mv > 0) {
        say_with(TEXT(", battery "), battery_mv, TEXT(" mV"));
    }
    say(TEXT("; any key ends\n"));
}

static void say_reading(uint8_t k)
{
    say(TEXT("# "));
    say(sensor_name(k));
    const int16_t reading = sensor_read(k);
    say_with(TEXT(" "), reading, TEXT(""));
    if (sensor_sees_nothing(k, reading)) {
        say(TEXT(" (sees nothing)"));
    }
    say(TEXT("\n"));
}

static void say_border(uint8_t k)
{
    const uint16_t raw = sensor_raw(k);
    least[k] = raw < least[k] ? raw : least[k];
    most[k] = raw > most[k] ? raw : most[k];
    const bool black_is_most = sensor_black_is_more(k);
    const uint16_t black = black_is_most ? most[k] : least[k];
    const uint16_t white = black_is_most ? least[k] : most[k];
    const int16_t above = (int16_t)(sensor_brightness(k, white) - ROBOT_BORDER_LEVEL);
    const int16_t below = (int16_t)(ROBOT_BORDER_LEVEL - sensor_brightness(k, black));
    const int16_t margin = above < below ? above : below;
    say(TEXT("# "));
    say(sensor_name(k));
    say_with(TEXT(" now "), raw, TEXT(" black "));
    say_number(black);
    say_with(TEXT(" white "), white, TEXT(" margin "));
    say_number(margin);
    if (margin < LEAST_MARGIN) {
        say(TEXT(" TOO SMALL"));
    }
    say(TEXT("\n"));
}

/* Each motor forward and backward, each gadget to its second end and back, each sensor once. */
static void try_on(uint32_t now)
{
    const uint32_t ms = now - since_ms;
    const bool moves = ms < TRY_MS;
    if (at < 4) {
        const int16_t effort = !moves ? 0 : at % 2 == 0 ? TRY_EFFORT : -TRY_EFFORT;
        motors_drive(at < 2 ? effort : 0, at < 2 ? 0 : effort);
    } else if (at < 4 + 2 * TACTIC_GADGETS) {
        const uint8_t k = (uint8_t)((at - 4) / 2);
        board_servo(k, gadget_us(k, at % 2 == 0 ? 1000 : 0));
    } else {
        const uint8_t k = (uint8_t)(at - 4 - 2 * TACTIC_GADGETS);
        if (k >= TACTIC_INPUTS) {
            for (uint8_t g = 0; g < TACTIC_GADGETS; g++) {
                board_servo(g, 0);
            }
            say(TEXT("# done\n"));
            bench_end();
        } else if (serial_room() >= LINE_ROOM) {
            say_reading(k);
            at++;
        }
        return;
    }
    if (ms >= TRY_MS + REST_MS) {
        at++;
        since_ms = now;
    }
}

static void announce(uint32_t now)
{
    if (now - since_ms != 0) {
        return;
    }
    if (at < 4) {
        say(TEXT("# motors "));
        say(at < 2 ? TEXT("left ") : TEXT("right "));
        say(at % 2 == 0 ? TEXT("forward\n") : TEXT("backward\n"));
    } else if (at < 4 + 2 * TACTIC_GADGETS) {
        say(TEXT("# gadget "));
        say(gadget_name((uint8_t)((at - 4) / 2)));
        say(TEXT("\n"));
    }
}

static void hear(int16_t key, uint32_t now, uint16_t battery_mv)
{
    if (doing == ASKS && key == 'y') {
        doing = TRIES;
        at = 0;
        since_ms = now;
        return;
    }
    if (doing != NOTHING) {
        bench_end();
        say(TEXT("# ended\n"));
        return;
    }
    at = 0;
    since_ms = now;
    switch (key) {
    case 's':
        doing = SHOWS;
        break;
    case 'b':
        say(TEXT("# move each border sensor over black and over white\n"));
        for (uint8_t k = 0; k < TACTIC_INPUTS; k++) {
            least[k] = UINT16_MAX;
            most[k] = 0;
        }
        doing = BORDER;
        break;
    case 't':
        say(TEXT("# WHEELS UP, fingers and hair away, eye protection on? y\n"));
        doing = ASKS;
        break;
    case 'r':
        run_trace(!run_traces());
        help(battery_mv);
        break;
    case '\r':
    case '\n':
        break;
    default:
        help(battery_mv);
        break;
    }
}

void bench_look(uint32_t now, uint16_t battery_mv)
{
    const int16_t key = serial_heard();
    if (key >= 0) {
        hear(key, now, battery_mv);
    }
    if (doing == TRIES) {
        announce(now);
        try_on(now);
    } else {
        motors_off();
    }
    if ((doing != SHOWS && doing != BORDER) || serial_room() < LINE_ROOM) {
        return;
    }
    if (at >= TACTIC_INPUTS) {
        if (now - since_ms >= SHOW_MS) {
            at = 0;
            since_ms = now;
        }
        return;
    }
    if (doing == SHOWS) {
        say_reading(at);
    } else if (sensor_is_border(at)) {
        say_border(at);
    }
    at++;
}
