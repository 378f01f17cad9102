/* Words and numbers on the serial line. What finds no room is lost: nothing here waits. */
#ifndef SAY_H
#define SAY_H

#include <stdint.h>

#include "text.h"

/* A TEXT(). */
void say(const char *text);
void say_number(int32_t x);
/* A TEXT(), a number, a TEXT(). */
void say_with(const char *before, int32_t x, const char *after);

#endif
