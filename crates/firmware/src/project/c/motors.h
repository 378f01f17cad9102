/* Both sides of the drive. */
#ifndef MOTORS_H
#define MOTORS_H

#include <stdint.h>

/* Efforts in per mille of all the driver can give, -1000 to 1000. */
void motors_drive(int16_t left, int16_t right);
/* No effort, and the driver asleep where it can be. */
void motors_off(void);

#endif
