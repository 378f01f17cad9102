/* A whole ATmega328P or ATmega32U4 with the project's own program on it: hands press its buttons and hold
 * voltages to its pins at given times, and eyes watch what its pins do.
 *
 * Arguments: program, chip, clock in Hz, flags of the reset, how long in ms, then in any order
 *   watch=NAME:PORT:BIT:OUTPUT   a line to watch; OUTPUT is its timer's, such as 0A, or none
 *   MS=PORT:BIT:LEVEL            a level at a pin from then on
 *   MS=adc:CHANNEL:MV            a voltage at a measuring pin
 *   MS=key:CODE                  a character over the serial line
 *   MS=hang                      the program runs in a circle from then on
 * It prints "MS NAME SHARE" whenever a watched line changes (per mille of the time it is high; -1: not
 * driven), "MS says TEXT" for each line of the serial line, and at the end "MS stack BYTES", the most of the
 * stack in use. */
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <simavr/avr_adc.h>
#include <simavr/avr_ioport.h>
#include <simavr/avr_uart.h>
#include <simavr/sim_avr.h>
#include <simavr/sim_elf.h>

enum { MOST = 64, MCUSR = 0x54, SPL = 0x5D, SPH = 0x5E };

struct watched {
    char name[32];
    char port;
    int bit;
    char output[8];
    int share;
};

struct event {
    double ms;
    char what[32];
    int a, b;
};

static avr_t *avr;
static struct watched watched[MOST];
static struct event events[MOST];
static int watches, happens;
static char said[512];
static size_t letters;

static double now_ms(void)
{
    return 1000.0 * (double)avr->cycle / (double)avr->frequency;
}

static void hear(struct avr_irq_t *irq, uint32_t value, void *with)
{
    (void)irq;
    (void)with;
    if (value == '\n' || letters + 1 == sizeof said) {
        said[letters] = 0;
        printf("%.1f says %s\n", now_ms(), said);
        letters = 0;
    } else {
        said[letters++] = (char)value;
    }
}

/* Addresses of PORT registers: PIN and DDR lie two and one before them. */
static int port_at(char port)
{
    switch (port) {
    case 'B':
        return 0x25;
    case 'C':
        return 0x28;
    case 'D':
        return 0x2B;
    case 'E':
        return 0x2E;
    default:
        return 0x31;
    }
}

struct output {
    const char *name;
    int control, bit, match;
};

static const struct output outputs[] = {
    { "0A", 0x44, 7, 0x47 }, { "0B", 0x44, 5, 0x48 }, { "1A", 0x80, 7, 0x88 },
    { "1B", 0x80, 5, 0x8A }, { "2A", 0xB0, 7, 0xB3 }, { "2B", 0xB0, 5, 0xB4 },
    { "3A", 0x90, 7, 0x98 }, { "4A", 0xC0, 7, 0xCF }, { "4D", 0xC2, 3, 0xD2 },
};

static int share(const struct watched *w)
{
    const int port = port_at(w->port);
    if ((avr->data[port - 1] >> w->bit & 1) == 0) {
        return -1;
    }
    for (size_t k = 0; k < sizeof outputs / sizeof outputs[0]; k++) {
        const struct output *o = &outputs[k];
        if (strcmp(o->name, w->output) == 0 && (avr->data[o->control] >> o->bit & 1)) {
            return avr->data[o->match] * 1000 / 255;
        }
    }
    return avr->data[port] >> w->bit & 1 ? 1000 : 0;
}

static void look(void)
{
    for (int k = 0; k < watches; k++) {
        const int is = share(&watched[k]);
        if (is != watched[k].share) {
            watched[k].share = is;
            printf("%.1f %s %d\n", now_ms(), watched[k].name, is);
        }
    }
}

/* A level held from outside, whatever the program pulls. */
static void hold(char port, int bit, bool high)
{
    static avr_ioport_external_t held[8];
    avr_ioport_external_t *h = &held[port - 'A'];
    h->name = (uint32_t)port;
    h->mask |= 1u << bit;
    h->value = (h->value & ~(1u << bit)) | (high ? 1u << bit : 0);
    avr_ioctl(avr, AVR_IOCTL_IOPORT_SET_EXTERNAL(port), h);
    avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ(port), bit), high);
}

static void happen(const struct event *e, char uart)
{
    if (strcmp(e->what, "adc") == 0) {
        avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_ADC_GETIRQ, e->a), (uint32_t)e->b);
    } else if (strcmp(e->what, "key") == 0) {
        avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_UART_GETIRQ(uart), UART_IRQ_INPUT), (uint32_t)e->a);
    } else if (strcmp(e->what, "hang") == 0) {
        /* The last word of the program's memory: a jump to itself, interrupts off. */
        avr->flash[avr->flashend - 1] = 0xFF;
        avr->flash[avr->flashend] = 0xCF;
        avr->pc = avr->flashend - 1;
        avr->sreg[S_I] = 0;
    } else {
        hold(e->what[0], e->a, e->b != 0);
    }
}

static void read_argument(const char *text)
{
    struct watched *w = &watched[watches];
    if (sscanf(text, "watch=%31[^:]:%c:%d:%7s", w->name, &w->port, &w->bit, w->output) == 4) {
        w->share = -2;
        watches++;
        return;
    }
    struct event *e = &events[happens];
    if (sscanf(text, "%lf=%31[^:]:%d:%d", &e->ms, e->what, &e->a, &e->b) < 2) {
        fprintf(stderr, "what is %s?\n", text);
        exit(2);
    }
    happens++;
}

int main(int n, char **arguments)
{
    if (n < 6 || n > 6 + MOST) {
        return 2;
    }
    elf_firmware_t program = { 0 };
    if (elf_read_firmware(arguments[1], &program) != 0) {
        return 2;
    }
    avr = avr_make_mcu_by_name(arguments[2]);
    if (avr == NULL) {
        return 2;
    }
    avr_init(avr);
    avr->log = 0;
    avr_load_firmware(avr, &program);
    avr->frequency = (uint32_t)atol(arguments[3]);
    avr->vcc = avr->avcc = avr->aref = 5000;
    const double until = atof(arguments[5]);
    for (int k = 6; k < n; k++) {
        read_argument(arguments[k]);
    }
    const char uart = strcmp(arguments[2], "atmega32u4") == 0 ? '1' : '0';
    uint32_t flags = 0;
    avr_ioctl(avr, AVR_IOCTL_UART_GET_FLAGS(uart), &flags);
    flags &= ~(uint32_t)(AVR_UART_FLAG_STDIO | AVR_UART_FLAG_POLL_SLEEP);
    avr_ioctl(avr, AVR_IOCTL_UART_SET_FLAGS(uart), &flags);
    avr_irq_register_notify(avr_io_getirq(avr, AVR_IOCTL_UART_GETIRQ(uart), UART_IRQ_OUTPUT), hear, NULL);
    avr->data[MCUSR] = (uint8_t)atoi(arguments[4]);
    bool done[MOST] = { false };
    int ran = 0, lowest = avr->ramend;
    while (now_ms() < until) {
        /* Ten looks in each turn of the timers. */
        if (++ran % 128 != 0) {
            const int state = avr_run(avr);
            const int stack = avr->data[SPH] << 8 | avr->data[SPL];
            lowest = stack < lowest ? stack : lowest;
            if (state == cpu_Done || state == cpu_Crashed) {
                printf("%.1f crashed\n", now_ms());
                return 1;
            }
            continue;
        }
        for (int k = 0; k < happens; k++) {
            if (!done[k] && now_ms() >= events[k].ms) {
                done[k] = true;
                happen(&events[k], uart);
            }
        }
        look();
    }
    printf("%.1f stack %d\n", now_ms(), (int)avr->ramend - lowest);
    printf("%.1f end\n", now_ms());
    return 0;
}
