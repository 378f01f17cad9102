/* What everything is called in the robot's file and in its tactic; TEXT()s. */
#ifndef NAMES_H
#define NAMES_H

#include <stdint.h>

#include "text.h"

const char *sensor_name(uint8_t k);
const char *gadget_name(uint8_t k);
const char *state_name(uint8_t k);
const char *reflex_name(uint8_t k);
const char *opening_name(uint8_t k);

#endif
