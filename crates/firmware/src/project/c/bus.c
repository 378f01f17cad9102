#include "bus.h"

#include "board.h"

/* How often to ask whether a sensor that stretches the clock has let go. */
#define PATIENCE 200

static uint8_t sda, scl;

static bool clock_up(void)
{
    board_let_go(scl);
    for (uint8_t k = 0; k < PATIENCE; k++) {
        if (board_is_high(scl)) {
            return true;
        }
    }
    return false;
}

static void bit_out(bool high)
{
    if (high) {
        board_let_go(sda);
    } else {
        board_put(sda, false);
    }
}

static bool begin(void)
{
    board_let_go(sda);
    if (!clock_up() || !board_is_high(sda)) {
        return false;
    }
    board_put(sda, false);
    board_put(scl, false);
    return true;
}

static void end(void)
{
    board_put(sda, false);
    (void)clock_up();
    board_let_go(sda);
}

/* Whether it was acknowledged. */
static bool byte_out(uint8_t byte)
{
    for (uint8_t k = 0; k < 8; k++) {
        bit_out((byte & 0x80) != 0);
        byte = (uint8_t)(byte << 1);
        if (!clock_up()) {
            return false;
        }
        board_put(scl, false);
    }
    board_let_go(sda);
    const bool up = clock_up();
    const bool taken = up && !board_is_high(sda);
    board_put(scl, false);
    return taken;
}

static uint8_t byte_in(bool more)
{
    uint8_t byte = 0;
    board_let_go(sda);
    for (uint8_t k = 0; k < 8; k++) {
        (void)clock_up();
        byte = (uint8_t)(byte << 1 | (board_is_high(sda) ? 1 : 0));
        board_put(scl, false);
    }
    bit_out(!more);
    (void)clock_up();
    board_put(scl, false);
    return byte;
}

bool bus_write(uint8_t data, uint8_t clock, uint8_t address, uint8_t at, uint8_t value)
{
    sda = data;
    scl = clock;
    const bool taken = begin() && byte_out((uint8_t)(address << 1)) && byte_out(at) && byte_out(value);
    end();
    return taken;
}

bool bus_read(uint8_t data, uint8_t clock, uint8_t address, uint8_t at, uint16_t *value)
{
    sda = data;
    scl = clock;
    bool taken = begin() && byte_out((uint8_t)(address << 1)) && byte_out(at);
    taken = taken && begin() && byte_out((uint8_t)(address << 1 | 1));
    if (taken) {
        const uint8_t high = byte_in(true);
        *value = (uint16_t)(high << 8 | byte_in(false));
    }
    end();
    return taken;
}
