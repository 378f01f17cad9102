/* From the start signal to the stop. */
#ifndef RUN_H
#define RUN_H

#include <stdbool.h>

#include "board.h"

/* At switching on, and after whatever else made the program begin. */
void run_begin(enum reset_cause cause);
/* Again and again: does nothing until the next look at the sensors is due. */
void run_once(void);
/* Whether it stands and may be tried on the bench. */
bool run_is_ready(void);
/* Whether each look in a bout is put on the serial line. */
void run_trace(bool on);
bool run_traces(void);

#endif
