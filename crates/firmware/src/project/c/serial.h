/* What is to be said waits here for the serial line, and what was heard for the program. Nothing here
 * waits itself. */
#ifndef SERIAL_H
#define SERIAL_H

#include <stdbool.h>
#include <stdint.h>

/* Puts a character behind those that wait; false if there is no room. */
bool serial_say(char c);
/* How many characters there is room for. */
uint8_t serial_room(void);
/* The next character that was heard, or -1. */
int16_t serial_heard(void);

/* For the board's interrupts: the next character to be sent, or -1; one that has come. */
int16_t serial_next(void);
void serial_hear(char c);

#endif
