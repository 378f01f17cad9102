#include "chips.h"

#include "bus.h"
#include "measure.h"

enum {
    EYE_RANGES = 0x00,
    EYE_CLEARS = 0x0B,
    EYE_STATUS = 0x13,
    EYE_DISTANCE = 0x1E,
    EYE_ADDRESS = 0x8A,
    EYE_WITHOUT_PAUSE = 0x02,
    /* From here on it means that no light came back. */
    EYE_FARTHEST = 8190
};

enum {
    MOVER = 0x68,
    MOVER_TURN_RANGE = 0x1B,
    MOVER_2000_A_SECOND = 0x18,
    MOVER_X = 0x3B,
    MOVER_Z = 0x3F,
    MOVER_TURN_Z = 0x47,
    MOVER_POWER = 0x6B
};

void eye_begin(struct eye *eye, uint8_t data, uint8_t clock, uint8_t address)
{
    eye->data = data;
    eye->clock = clock;
    eye->address = address;
    eye->mm = EYE_NOTHING;
    eye->works = bus_write(data, clock, EYE_FIRST_ADDRESS, EYE_ADDRESS, address) &&
                 bus_write(data, clock, address, EYE_RANGES, EYE_WITHOUT_PAUSE);
}

uint16_t eye_mm(struct eye *eye)
{
    uint16_t status = 0;
    if (!eye->works || !bus_read(eye->data, eye->clock, eye->address, EYE_STATUS, &status)) {
        return EYE_NOTHING;
    }
    if ((status >> 8 & 7) != 0) {
        uint16_t mm = EYE_NOTHING;
        (void)bus_read(eye->data, eye->clock, eye->address, EYE_DISTANCE, &mm);
        (void)bus_write(eye->data, eye->clock, eye->address, EYE_CLEARS, 1);
        eye->mm = mm < EYE_FARTHEST ? mm : EYE_NOTHING;
    }
    return eye->mm;
}

void mover_begin(uint8_t data, uint8_t clock)
{
    (void)bus_write(data, clock, MOVER, MOVER_POWER, 0);
    (void)bus_write(data, clock, MOVER, MOVER_TURN_RANGE, MOVER_2000_A_SECOND);
}

int16_t mover_tilt(uint8_t data, uint8_t clock)
{
    uint16_t x = 0;
    uint16_t z = 0;
    if (!bus_read(data, clock, MOVER, MOVER_X, &x) || !bus_read(data, clock, MOVER, MOVER_Z, &z)) {
        return 0;
    }
    return slope_angle((int16_t)x, (int16_t)z);
}

int16_t mover_turn(uint8_t data, uint8_t clock)
{
    uint16_t turn = 0;
    if (!bus_read(data, clock, MOVER, MOVER_TURN_Z, &turn)) {
        return 0;
    }
    /* 16.4 counts for a degree a second. */
    return (int16_t)((int32_t)(int16_t)turn * 100 / 164);
}
