/* What a program in C expects to find done on a 32-bit chip before main, without any library. */
#include <stddef.h>
#include <stdint.h>

extern uint32_t data_begin[], data_end[], bss_begin[], bss_end[];
extern const uint32_t data_kept[];

int main(void);
void reset(void);
void *memcpy(void *to, const void *from, size_t n);
void *memset(void *to, int value, size_t n);

void reset(void)
{
    const uint32_t *from = data_kept;
    for (uint32_t *to = data_begin; to < data_end;) {
        *to++ = *from++;
    }
    for (uint32_t *to = bss_begin; to < bss_end;) {
        *to++ = 0;
    }
    (void)main();
    for (;;) {
    }
}

/* The compiler calls these two of its own accord. */
void *memcpy(void *to, const void *from, size_t n)
{
    uint8_t *t = to;
    const uint8_t *f = from;
    while (n-- > 0) {
        *t++ = *f++;
    }
    return to;
}

void *memset(void *to, int value, size_t n)
{
    uint8_t *t = to;
    while (n-- > 0) {
        *t++ = (uint8_t)value;
    }
    return to;
}
