/* The parts of a project that need no chip, on this machine: angles, distances, an encoder's two tracks, an
 * echo, and a bus with a made-up chip on it that follows the bus's own rules (NXP, UM10204: a start is data
 * falling while the clock is high, a stop is data rising; bits are read while the clock is high; the ninth
 * is the answer). It prints what came out; the test knows what should. */
#include <stdio.h>

#include "board.h"
#include "bus.h"
#include "chips.h"
#include "measure.h"
#include "robot.h"
#include "watch.h"

enum { DATA = 100, CLOCK = 101 };

static uint32_t us;
static bool lines[256];

/* The made-up chip: its registers, and where it stands on the bus. */
static struct {
    uint8_t address, memory[256], at, byte;
    int bits;
    enum { SLEEPS, ADDRESSED, POINTED, TAKES, GIVES } does;
    bool data, clock, holds;
    bool ours_data, ours_clock;
} chip = { .address = 0x29, .ours_data = true, .ours_clock = true, .data = true, .clock = true };

static bool data_is(void)
{
    return chip.ours_data && !chip.holds;
}

static void next_out(void)
{
    chip.holds = (chip.byte & 0x80) == 0;
    chip.byte = (uint8_t)(chip.byte << 1);
}

static void byte_done(void)
{
    switch (chip.does) {
    case ADDRESSED:
        if (chip.byte >> 1 != chip.address) {
            chip.does = SLEEPS;
            return;
        }
        chip.does = chip.byte & 1 ? GIVES : POINTED;
        break;
    case POINTED:
        chip.at = chip.byte;
        chip.does = TAKES;
        break;
    case TAKES:
        if (chip.at == 0x8A) {
            chip.address = chip.byte;
        }
        chip.memory[chip.at++] = chip.byte;
        break;
    default:
        return;
    }
    chip.holds = true;
}

static void bus_changes(void)
{
    const bool data = data_is();
    const bool clock = chip.ours_clock;
    if (clock && chip.clock && data != chip.data) {
        chip.does = data ? SLEEPS : ADDRESSED;
        chip.bits = 0;
        chip.holds = false;
    } else if (clock && !chip.clock && chip.does != SLEEPS) {
        if (chip.bits == 8 && chip.does == GIVES && data) {
            chip.does = SLEEPS;
        } else if (chip.bits < 8 && chip.does != GIVES) {
            chip.byte = (uint8_t)(chip.byte << 1 | data);
        }
        chip.bits++;
    } else if (!clock && chip.clock && chip.does != SLEEPS) {
        if (chip.bits == 8 && chip.does != GIVES) {
            byte_done();
        } else if (chip.bits == 9) {
            chip.bits = 0;
            chip.holds = false;
            if (chip.does == GIVES) {
                chip.byte = chip.memory[chip.at++];
                next_out();
            }
        } else if (chip.does == GIVES) {
            if (chip.bits == 8) {
                chip.holds = false;
            } else {
                next_out();
            }
        }
    }
    chip.data = data_is();
    chip.clock = clock;
}

bool board_is_high(uint8_t line)
{
    return line == DATA ? data_is() : line == CLOCK ? chip.ours_clock : lines[line];
}

void board_put(uint8_t line, bool high)
{
    if (line == DATA) {
        chip.ours_data = high;
        bus_changes();
    } else if (line == CLOCK) {
        chip.ours_clock = high;
        bus_changes();
    } else {
        lines[line] = high;
    }
}

void board_let_go(uint8_t line)
{
    board_put(line, true);
}

uint32_t board_us(void)
{
    return us += 3;
}

uint32_t board_ms(void)
{
    return us / 1000;
}

uint16_t board_measured(uint8_t line)
{
    return line;
}

static void angles(void)
{
    for (int k = -90; k <= 90; k++) {
        /* Sines and cosines are the test's business: it reads both numbers. */
        const int16_t rise = (int16_t)(k * 300);
        const int16_t run = (int16_t)(27000 - (k < 0 ? -k : k) * 290);
        printf("angle %d %d %d\n", rise, run, slope_angle(rise, run));
    }
}

static void turns(void)
{
    static const bool steps[4][2] = { { 0, 0 }, { 1, 0 }, { 1, 1 }, { 0, 1 } };
    int at = 0;
    for (int k = 0; k < 1000; k++) {
        /* Forward two, back one, at times none. */
        at += k % 7 == 0 ? 0 : k % 3 == 0 ? -1 : 1;
        lines[SENSE_MORE_0_a] = steps[at & 3][0];
        lines[SENSE_MORE_0_b] = steps[at & 3][1];
        watched_lines();
    }
    printf("edges %d %d\n", at, (int16_t)encoder_edges(0));
}

static void bus(void)
{
    struct eye eye;
    chip.memory[0x13] = 1;
    chip.memory[0x1E] = 0x01;
    chip.memory[0x1F] = 0x2C;
    eye_begin(&eye, DATA, CLOCK, 0x2A);
    printf("works %d address %d ranges %d\n", eye.works, chip.address, chip.memory[0]);
    const unsigned int mm = eye_mm(&eye);
    printf("mm %u cleared %d\n", mm, chip.memory[0x0B]);
    chip.memory[0x13] = 0;
    chip.memory[0x1E] = 0x7F;
    printf("old %u\n", eye_mm(&eye));
    chip.memory[0x13] = 1;
    printf("nothing %u\n", eye_mm(&eye));
    chip.address = 0x55;
    printf("gone %u\n", eye_mm(&eye));
    uint16_t value;
    /* Somebody holds the data line. */
    chip.does = SLEEPS;
    chip.holds = true;
    chip.data = false;
    printf("held %d\n", bus_read(DATA, CLOCK, 0x55, 0, &value));
    chip.holds = false;
    chip.address = 0x68;
    const int16_t x = 5000;
    const int16_t z = 15000;
    const int16_t turn = -3280;
    const uint16_t words[3][2] = { { 0x3B, (uint16_t)x }, { 0x3F, (uint16_t)z }, { 0x47, (uint16_t)turn } };
    for (int k = 0; k < 3; k++) {
        chip.memory[words[k][0]] = (uint8_t)(words[k][1] >> 8);
        chip.memory[words[k][0] + 1] = (uint8_t)words[k][1];
    }
    mover_begin(DATA, CLOCK);
    printf("tilt %d turn %d\n", mover_tilt(DATA, CLOCK), mover_turn(DATA, CLOCK));
}

int main(void)
{
    angles();
    turns();
    bus();
    printf("brightness %d %d %d %d\n", brightness(500, 900, 100), brightness(950, 900, 100),
           brightness(20, 900, 100), brightness(300, 100, 900));
    printf("distance %d %d %d\n", triangulated_mm(2000, 100000, 0, 400), triangulated_mm(100, 100000, 0, 400),
           triangulated_mm(50, 100000, 60, 400));
    return 0;
}
