/* The sensors, each a small function in sensors.c. */
#ifndef SENSORS_H
#define SENSORS_H

#include <stdbool.h>
#include <stdint.h>

#include "tactic.h"

/* At switching on. */
void sensors_begin(void);
/* At the start of a bout: what was counted before is forgotten. */
void sensors_start(void);
/* All readings, in the order of the tactic. */
void sensors_read(int16_t readings[TACTIC_INPUTS]);
/* One of them. */
int16_t sensor_read(uint8_t k);
/* Whether that reading means that nothing is seen. */
bool sensor_sees_nothing(uint8_t k, int16_t reading);

/* For the border aid: whether it looks down at the ring, what it measures in per mille of full scale,
 * whether that is more over black than over white, and how bright that is, 0 (black) to 1000. */
bool sensor_is_border(uint8_t k);
uint16_t sensor_raw(uint8_t k);
bool sensor_black_is_more(uint8_t k);
int16_t sensor_brightness(uint8_t k, uint16_t raw);

/* Length of the pulse that sends gadget `k` where `order` says, in microseconds; 0: no power. */
uint16_t gadget_us(uint8_t k, int16_t order);

#endif
