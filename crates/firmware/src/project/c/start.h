/* The start and the stop, as the class has them. */
#ifndef START_H
#define START_H

#include <stdbool.h>
#include <stdint.h>

#include "board.h"

void start_begin(enum reset_cause cause);
/* At every look, before the questions below. */
void start_look(uint32_t now);
/* The start has been given: from here it must stand as long as the class asks. */
bool start_is_given(void);
/* Given, and taken back before it moved. */
bool start_is_taken_back(void);
/* It may move. */
bool start_is_due(uint32_t now);
/* It must stop. */
bool start_is_stop(void);
/* It has stopped. */
void start_stopped(void);
/* It has stopped, and may be made ready again without switching it off. */
bool start_is_over(void);
/* Position of the switches that select the opening: the first one counts 1, the next 2, 4, 8. */
uint8_t start_position(void);

#endif
