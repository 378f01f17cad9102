#include "bench.h"
#include "tactic.h"

#ifdef BENCH_TICK
const struct tactic_order *BENCH_TICK(const int16_t *in, uint16_t now);
#else
#define BENCH_TICK tactic_tick
#endif

static uint32_t dice;
static uint32_t fold;

/* Xorshift of 32 bits by 13, 17 and 5 (Marsaglia 2003). */
static uint32_t thrown(void)
{
    dice ^= dice << 13;
    dice ^= dice >> 17;
    dice ^= dice << 5;
    return dice;
}

/* FNV-1a, a word at a time. */
static void folded(int16_t x)
{
    fold = (fold ^ (uint16_t)x) * 16777619UL;
}

static int16_t reading(int16_t before)
{
    const uint32_t x = thrown();
    if ((x & 7) != 0) {
        return before;
    }
    switch (x >> 3 & 3) {
    case 0:
        return 0;
    case 1:
        return INT16_MAX;
    case 2:
        return (int16_t)((int32_t)(x >> 16) - 32768);
    default:
        return (int16_t)((x >> 16) % 1000);
    }
}

static void say_fold(void)
{
    char text[10];
    for (uint8_t k = 0; k < 8; k++) {
        text[k] = "0123456789abcdef"[fold >> (28 - 4 * k) & 15];
    }
    text[8] = '\n';
    text[9] = 0;
    bench_say(text);
}

void bench_run(unsigned long seed, unsigned int blocks)
{
    static int16_t in[TACTIC_INPUTS];
    uint16_t now = 0;
    dice = (uint32_t)seed;
    fold = 2166136261UL;
    for (unsigned int block = 0; block < blocks; block++) {
        const uint32_t start = thrown();
        tactic_start(tactic_opening(start & 7), (uint16_t)(start >> 16));
        for (uint16_t k = 0; k < 256; k++) {
            for (uint8_t i = 0; i < TACTIC_INPUTS; i++) {
                in[i] = reading(in[i]);
            }
            const uint32_t pause = thrown();
            now = (uint16_t)(now + ((pause & 15) == 0 ? pause >> 16 : 10));
            const struct tactic_order *order = BENCH_TICK(in, now);
            folded(order->left);
            folded(order->right);
            for (int g = 0; g < TACTIC_GADGETS; g++) {
                folded(order->gadget[g]);
            }
            folded(tactic_state());
            folded(tactic_step());
            folded(tactic_reflex());
        }
        say_fold();
    }
}
