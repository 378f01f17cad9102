/* The hardware, as the rest of the program knows it: another board needs another board.c, and nothing
 * else. Lines are those of robot.h. */
#ifndef BOARD_H
#define BOARD_H

#include <stdbool.h>
#include <stdint.h>

/* Why the program began. */
enum reset_cause {
    RESET_POWER_ON,
    RESET_BUTTON,
    RESET_BROWN_OUT,
    RESET_WATCHDOG,
    RESET_UNKNOWN
};

/* First of all the motors' lines, so that nothing turns; then the other lines, the clock, the serial
 * line. Called once. */
void board_begin(void);
enum reset_cause board_reset_cause(void);

/* Time since board_begin; either wraps. */
uint32_t board_ms(void);
uint32_t board_us(void);

/* Whether a line is high. */
bool board_is_high(uint8_t line);
/* Drives a line. */
void board_put(uint8_t line, bool high);
/* Drives a line no longer: it is pulled up, for a bus. */
void board_let_go(uint8_t line);
/* Share of the time a line is high, in per mille. */
void board_pulses(uint8_t line, uint16_t per_mille);
/* Voltage at a line, 0 to BOARD_MEASURED_MOST for 0 to BOARD_FULL_MV. */
uint16_t board_measured(uint8_t line);
/* A pulse of so many microseconds fifty times a second to gadget `k`; 0: none. */
void board_servo(uint8_t k, uint16_t us);

/* Characters wait for the serial line (serial.h): sends one by one what serial_next() gives until there is
 * none left, from its interrupt. What comes goes to serial_hear(). */
void board_send(void);

/* From now on the chip resets itself, motors off, unless it is fed at least every 100 ms. */
void board_watch(void);
void board_feed(void);

/* Called by the board's clock interrupt, several thousand times a second. */
void watched_lines(void);

#endif
