/* A table of a bout on the serial line: readings, what was driven, state and reflex at every look. The
 * workbench tells from it why the robot did what it did. */
#ifndef TRACE_H
#define TRACE_H

#include <stdint.h>

#include "tactic.h"

/* When the start is given: the names of the columns. */
void trace_head(void);
/* When it moves. */
void trace_begin(uint8_t opening, uint16_t noise);
/* A row; left out, and counted, if the line has no room for it. */
void trace_look(uint32_t ms, const int16_t readings[TACTIC_INPUTS], const struct tactic_order *order);

#endif
