#include "run.h"

#include "bench.h"
#include "motors.h"
#include "robot.h"
#include "say.h"
#include "sensors.h"
#include "start.h"
#include "tactic.h"
#include "trace.h"

/* A battery that has been read low for so long is low; motors pull it down for moments. */
#define LOW_FOR_MS 1000

/* READY: it stands, and the bench may try it. WAITING: the start has been given, and it stands as the
 * class asks. RUNNING: the tactic drives. STOPPED: it stands until start_is_over() says otherwise. */
static enum { READY, WAITING, RUNNING, STOPPED } mode;
static uint32_t next_ms;
static uint32_t began_ms;
static uint32_t not_low_ms;
static uint16_t late;
static uint32_t longest_us;
static bool traces;

static void stand(void)
{
    motors_off();
    for (uint8_t k = 0; k < TACTIC_GADGETS; k++) {
        board_servo(k, 0);
    }
}

static void stop(void)
{
    stand();
    mode = STOPPED;
    start_stopped();
    say_with(TEXT("# stopped, late looks: "), late, TEXT(", longest look: "));
    say_with(TEXT(""), (int32_t)longest_us, TEXT(" us\n"));
}

static uint16_t battery_mv(void)
{
#if ROBOT_BATTERY_PARTS > 0
    const uint32_t measured = board_measured(LINE_BATTERY);
    return (uint16_t)(measured * BOARD_FULL_MV / BOARD_MEASURED_MOST * ROBOT_BATTERY_PARTS);
#else
    return 0;
#endif
}

bool run_is_ready(void)
{
    return mode == READY;
}

void run_trace(bool on)
{
    traces = on;
}

bool run_traces(void)
{
    return traces;
}

void run_begin(enum reset_cause cause)
{
    stand();
    mode = READY;
    next_ms = board_ms();
    not_low_ms = next_ms;
    late = 0;
    start_begin(cause);
    say(TEXT("\n# " ROBOT_NAME ", began by: "));
    switch (cause) {
    case RESET_POWER_ON:
        say(TEXT("switching on"));
        break;
    case RESET_BUTTON:
        say(TEXT("reset button"));
        break;
    case RESET_BROWN_OUT:
        say(TEXT("voltage too low"));
        break;
    case RESET_WATCHDOG:
        say(TEXT("watchdog"));
        break;
    default:
        say(TEXT("unknown"));
        break;
    }
    say(TEXT("; h for help\n"));
}

/* The lamp: slowly while it is ready, quickly while the battery is low, on while it waits, off else. */
static void lamp(uint32_t now)
{
#if ROBOT_HAS_LAMP
    bool low = false;
#if ROBOT_BATTERY_PARTS > 0
    low = now - not_low_ms >= LOW_FOR_MS;
#endif
    const bool blinks = (now / (low ? 64 : 512) & 1) != 0;
    board_put(LINE_LAMP, mode == WAITING || ((mode == READY || low) && blinks));
#else
    (void)now;
#endif
}

static void begin(uint32_t now)
{
    const uint8_t opening = tactic_opening(start_position());
    const uint16_t noise = (uint16_t)board_us();
    tactic_start(opening, noise);
    sensors_start();
    began_ms = now;
    late = 0;
    longest_us = 0;
    mode = RUNNING;
    if (traces) {
        trace_begin(opening, noise);
    }
}

static void decide(uint32_t now)
{
    int16_t readings[TACTIC_INPUTS];
    const uint32_t from_us = board_us();
    sensors_read(readings);
    const uint32_t ms = now - began_ms;
    const struct tactic_order *order = tactic_tick(readings, (uint16_t)ms);
    motors_drive(order->left, order->right);
    for (uint8_t k = 0; k < TACTIC_GADGETS; k++) {
        board_servo(k, gadget_us(k, order->gadget[k]));
    }
    const uint32_t us = board_us() - from_us;
    if (us > longest_us) {
        longest_us = us;
    }
    if (traces) {
        trace_look(ms, readings, order);
    }
}

static void look(uint32_t now)
{
    if (ROBOT_BATTERY_PARTS == 0 || battery_mv() >= ROBOT_BATTERY_LOW_MV) {
        not_low_ms = now;
    }
    start_look(now);
    switch (mode) {
    case READY:
        if (start_is_given()) {
            bench_end();
            stand();
            mode = WAITING;
            if (traces) {
                trace_head();
            }
            if (start_is_due(now)) {
                begin(now);
            }
        } else {
            bench_look(now, battery_mv());
        }
        break;
    case WAITING:
        if (start_is_taken_back()) {
            mode = READY;
        } else if (start_is_due(now)) {
            begin(now);
        }
        break;
    case RUNNING:
        if (start_is_stop()) {
            stop();
        }
        break;
    default:
        if (start_is_over()) {
            mode = READY;
        }
        break;
    }
    if (mode == RUNNING) {
        decide(now);
    } else if (mode != READY) {
        stand();
    }
    lamp(now);
}

void run_once(void)
{
    const uint32_t now = board_ms();
    if ((int32_t)(now - next_ms) < 0) {
        return;
    }
    next_ms += ROBOT_TICK_MS;
    if ((int32_t)(now - next_ms) >= 0) {
        /* A whole look too late: it is left out rather than made up for. */
        next_ms = now + ROBOT_TICK_MS;
        if (late < UINT16_MAX) {
            late++;
        }
    }
    /* Here and nowhere else: if the clock or a look hangs, the chip resets itself. */
    board_feed();
    look(now);
}
