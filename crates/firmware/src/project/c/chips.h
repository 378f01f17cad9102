/* Sensors on the I2C bus. The registers are those of the VL53L0X (distance) and the MPU-6050 (tilt and
 * turning), from memory: with another chip, change them in chips.c. Both say nothing rather than
 * something wrong when the bus does not answer. */
#ifndef CHIPS_H
#define CHIPS_H

#include <stdbool.h>
#include <stdint.h>

/* One distance chip: its lines, its own address once it has been given one, its last reading. */
struct eye {
    uint8_t data, clock, address;
    bool works;
    uint16_t mm;
};

#define EYE_FIRST_ADDRESS 0x29
#define EYE_NOTHING 0xFFFF

/* Gives it `address`; it must be the only one awake that still has the first address. */
void eye_begin(struct eye *eye, uint8_t data, uint8_t clock, uint8_t address);
/* The newest distance in mm, or EYE_NOTHING; asks the chip whether there is one. */
uint16_t eye_mm(struct eye *eye);

void mover_begin(uint8_t data, uint8_t clock);
/* Nose up, in tenths of a degree; the chip's x forward, its z up. */
int16_t mover_tilt(uint8_t data, uint8_t clock);
/* Turning to the left, in tenths of a degree a second. */
int16_t mover_turn(uint8_t data, uint8_t clock);

#endif
