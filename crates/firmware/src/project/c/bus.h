/* An I2C bus made of two ordinary lines, for sensors with registers of 8 bits (NXP, UM10204, I2C-bus
 * specification and user manual). Nothing here waits without end: a bus that is held gives false. */
#ifndef BUS_H
#define BUS_H

#include <stdbool.h>
#include <stdint.h>

bool bus_write(uint8_t data, uint8_t clock, uint8_t address, uint8_t at, uint8_t value);
/* Two bytes from register `at`, the high one first. */
bool bus_read(uint8_t data, uint8_t clock, uint8_t address, uint8_t at, uint16_t *value);

#endif
