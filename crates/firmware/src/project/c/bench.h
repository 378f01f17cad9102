/* What can be tried on the bench, over the serial line, before the start. */
#ifndef BENCH_H
#define BENCH_H

#include <stdint.h>

/* At every look while it is ready. */
void bench_look(uint32_t now, uint16_t battery_mv);
/* The start has been given: whatever is being tried ends. */
void bench_end(void);

#endif
