/* The bench on an ATmega328P: says the folds over its serial line, then the most cycles of a look and the
 * most of the stack in use, and stops. */
#include "bench.h"
#include "tactic.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>

extern uint8_t _end;
extern uint8_t __stack;

/* What the bench calls in place of the tactic, to count the cycles of each look. */
const struct tactic_order *timed_tick(const int16_t *in, uint16_t now);

static const struct tactic_order *(*const tick)(const int16_t *, uint16_t) = tactic_tick;
static uint16_t most_cycles;

void bench_say(const char *text)
{
    for (; *text != 0; text++) {
        while ((UCSR0A & (1 << UDRE0)) == 0) {
        }
        UDR0 = (uint8_t)*text;
    }
}

const struct tactic_order *timed_tick(const int16_t *in, uint16_t now)
{
    TCNT1 = 0;
    const struct tactic_order *order = tick(in, now);
    const uint16_t cycles = TCNT1;
    if (cycles > most_cycles) {
        most_cycles = cycles;
    }
    return order;
}

static void say_number(const char *what, uint16_t x)
{
    char digits[8];
    uint8_t k = 7;
    digits[k] = 0;
    do {
        digits[--k] = (char)('0' + x % 10);
        x /= 10;
    } while (x != 0);
    bench_say(what);
    bench_say(digits + k);
    bench_say("\n");
}

int main(void)
{
    uint8_t *const top = (uint8_t *)SP - 16;
    for (uint8_t *p = &_end; p < top; p++) {
        *p = 0xC5;
    }
    UCSR0B = 1 << TXEN0;
    TCCR1B = 1 << CS10;
    bench_run(BENCH_SEED, BENCH_BLOCKS);
    uint16_t unused = 0;
    while ((&_end)[unused] == 0xC5) {
        unused++;
    }
    say_number("cycles ", most_cycles);
    say_number("stack ", (uint16_t)(&__stack - &_end) - unused);
    cli();
    sleep_mode();
    return 0;
}
