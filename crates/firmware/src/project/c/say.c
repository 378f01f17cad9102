#include "say.h"

#include "serial.h"

void say(const char *text)
{
    for (char c; (c = TEXT_AT(text)) != 0; text++) {
        serial_say(c);
    }
}

void say_number(int32_t x)
{
    char digits[11];
    uint8_t k = 0;
    uint32_t left = x < 0 ? 0 - (uint32_t)x : (uint32_t)x;
    do {
        digits[k++] = (char)('0' + left % 10);
        left /= 10;
    } while (left != 0);
    if (x < 0) {
        serial_say('-');
    }
    while (k > 0) {
        serial_say(digits[--k]);
    }
}

void say_with(const char *before, int32_t x, const char *after)
{
    say(before);
    say_number(x);
    say(after);
}
