/* Lines that are looked at several thousand times a second: encoders and echoes. */
#ifndef WATCH_H
#define WATCH_H

#include <stdint.h>

/* Edges of encoder `k` so far, forward less backward; wraps. */
uint16_t encoder_edges(uint8_t k);
/* Calls out if it is time to; how long the last echo of ultrasonic module `k` took in microseconds,
 * 65535 if none came. */
uint16_t echo_us(uint8_t k);

#endif
