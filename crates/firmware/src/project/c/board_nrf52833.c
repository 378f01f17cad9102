/* nRF52833. Timer 0 is the clock; pulses of 16 kHz; the pulses of gadgets come from timer 1. Registers and
 * addresses: Nordic, nRF52833 product specification. */
#include "board.h"

#include "pins.h"
#include "robot.h"
#include "serial.h"

#define AT(address) (*(volatile uint32_t *)(address))

/* Registers of a port: 0 and 1. */
#define GPIO(port, at) AT(0x50000000u + 0x300u * (port) + (at))
#define GPIO_OUTSET(port) GPIO(port, 0x508)
#define GPIO_OUTCLR(port) GPIO(port, 0x50C)
#define GPIO_IN(port) GPIO(port, 0x510)
#define GPIO_CNF(port, bit) GPIO(port, 0x700u + 4u * (bit))

#define CLOCK_START AT(0x40000000u)
#define CLOCK_STARTED AT(0x40000100u)
#define RESETREAS AT(0x40000400u)
#define UART 0x40002000u
#define UART_STARTRX AT(UART + 0x000)
#define UART_STARTTX AT(UART + 0x008)
#define UART_RXDRDY AT(UART + 0x108)
#define UART_TXDRDY AT(UART + 0x11C)
#define UART_INTENSET AT(UART + 0x304)
#define UART_ENABLE AT(UART + 0x500)
#define UART_TXPIN AT(UART + 0x50C)
#define UART_RXPIN AT(UART + 0x514)
#define UART_RXD AT(UART + 0x518)
#define UART_TXD AT(UART + 0x51C)
#define UART_RATE AT(UART + 0x524)
#define SAADC 0x40007000u
#define SAADC_START AT(SAADC + 0x000)
#define SAADC_SAMPLE AT(SAADC + 0x004)
#define SAADC_STOP AT(SAADC + 0x008)
#define SAADC_STARTED AT(SAADC + 0x100)
#define SAADC_END AT(SAADC + 0x104)
#define SAADC_STOPPED AT(SAADC + 0x114)
#define SAADC_ENABLE AT(SAADC + 0x500)
#define SAADC_PIN AT(SAADC + 0x510)
#define SAADC_CONFIG AT(SAADC + 0x518)
#define SAADC_RESOLUTION AT(SAADC + 0x5F0)
#define SAADC_PTR AT(SAADC + 0x62C)
#define SAADC_COUNT AT(SAADC + 0x630)
#define TIMER(k, at) AT(0x40008000u + 0x1000u * (k) + (at))
#define TIMER_START(k) TIMER(k, 0x000)
#define TIMER_CAPTURE(k, cc) TIMER(k, 0x040u + 4u * (cc))
#define TIMER_COMPARE(k, cc) TIMER(k, 0x140u + 4u * (cc))
#define TIMER_INTENSET(k) TIMER(k, 0x304)
#define TIMER_WIDTH(k) TIMER(k, 0x508)
#define TIMER_PRESCALER(k) TIMER(k, 0x510)
#define TIMER_CC(k, cc) TIMER(k, 0x540u + 4u * (cc))
#define WDT 0x40010000u
#define WDT_START AT(WDT + 0x000)
#define WDT_CRV AT(WDT + 0x504)
#define WDT_RREN AT(WDT + 0x508)
#define WDT_CONFIG AT(WDT + 0x50C)
#define WDT_RR AT(WDT + 0x600)
#define PWM 0x4001C000u
#define PWM_START AT(PWM + 0x008)
#define PWM_ENABLE AT(PWM + 0x500)
#define PWM_TOP AT(PWM + 0x508)
#define PWM_PRESCALER AT(PWM + 0x50C)
#define PWM_DECODER AT(PWM + 0x510)
#define PWM_PTR AT(PWM + 0x520)
#define PWM_COUNT AT(PWM + 0x524)
#define PWM_PIN(k) AT(PWM + 0x560u + 4u * (k))
#define NVIC_ISER0 AT(0xE000E100u)

enum { LEAVE, OUT_LOW, IN, IN_PULLED_UP, IN_PULLED_DOWN, MEASURES };
/* Direction out with the input connected; in; in with its pull-up; with its pull-down; cut off. */
enum { CNF_OUT = 1, CNF_IN = 0, CNF_PULLED_UP = 12, CNF_PULLED_DOWN = 4, CNF_AWAY = 2 };
#define NO_PULSES 255
#define NOT_CONNECTED 0x80000000u

struct pin {
    uint8_t port, bit, channel, pulses, begins;
};

static const struct pin pins[] = PINS;
#define LINE_COUNT (sizeof(pins) / sizeof(pins[0]))

/* The clock interrupt, in microseconds; pulses in sixteenths of one. */
#define TURN_US 100u
#define PULSE_TOP 1000u

static volatile uint32_t turns, ms;
static volatile bool sends_now;
static enum reset_cause cause;
/* What the pulses of four lines take from memory by themselves. */
static volatile uint16_t pulse[4];
static volatile int16_t sample;

extern uint32_t stack_top[];
void reset(void);
void turn(void);
void serial(void);
void gadget(void);
void stuck(void);

/* Whatever is not expected stands still until the watchdog resets the chip. */
void stuck(void)
{
    for (;;) {
    }
}

/* Sixteen of the processor, then those of the chip: 2 is the serial line, 8 and 9 are the timers. */
struct vectors {
    const void *stack;
    void (*called[15])(void);
    void (*chip[48])(void);
};

#define SIX_STUCK stuck, stuck, stuck, stuck, stuck, stuck
#define EIGHT_STUCK stuck, stuck, stuck, stuck, stuck, stuck, stuck, stuck

__attribute__((section(".vectors"), used)) static const struct vectors vectors = {
    stack_top,
    { reset, stuck, stuck, stuck, stuck, stuck, stuck, stuck, stuck, stuck, stuck, stuck, stuck, stuck, stuck },
    { stuck, stuck, serial, stuck, stuck, stuck, stuck, stuck, turn, gadget, SIX_STUCK, EIGHT_STUCK,
      EIGHT_STUCK, EIGHT_STUCK, EIGHT_STUCK },
};

/* Two of the pins are made for an antenna, unless these settings of the chip say otherwise; they are loaded
 * with the program. */
__attribute__((section(".settings"), used)) static const uint32_t no_antenna = 0xFFFFFFFEu;

static void level(const struct pin *pin, bool high)
{
    if (high) {
        GPIO_OUTSET(pin->port) = 1u << pin->bit;
    } else {
        GPIO_OUTCLR(pin->port) = 1u << pin->bit;
    }
}

static void pin_begin(const struct pin *pin)
{
    switch (pin->begins) {
    case OUT_LOW:
        level(pin, false);
        GPIO_CNF(pin->port, pin->bit) = CNF_OUT;
        break;
    case IN:
        GPIO_CNF(pin->port, pin->bit) = CNF_IN;
        break;
    case IN_PULLED_UP:
        GPIO_CNF(pin->port, pin->bit) = CNF_PULLED_UP;
        break;
    case IN_PULLED_DOWN:
        GPIO_CNF(pin->port, pin->bit) = CNF_PULLED_DOWN;
        break;
    case MEASURES:
        GPIO_CNF(pin->port, pin->bit) = CNF_AWAY;
        break;
    default:
        break;
    }
}

static bool comes(volatile uint32_t *event)
{
    for (uint32_t k = 0; k < 100000u; k++) {
        if (*event != 0) {
            *event = 0;
            return true;
        }
    }
    return false;
}

static void pulses_begin(void)
{
    for (uint8_t k = 0; k < LINE_COUNT; k++) {
        if (pins[k].pulses != NO_PULSES) {
            PWM_PIN(pins[k].pulses) = (uint32_t)pins[k].port << 5 | pins[k].bit;
        }
    }
    PWM_ENABLE = 1;
    PWM_PRESCALER = 0;
    PWM_TOP = PULSE_TOP;
    PWM_DECODER = 2;
    PWM_PTR = (uint32_t)(uintptr_t)pulse;
    PWM_COUNT = 4;
}

static void timer_begin(uint8_t k)
{
    TIMER_WIDTH(k) = 3;
    TIMER_PRESCALER(k) = 4;
    TIMER_CC(k, 0) = TURN_US;
    TIMER_INTENSET(k) = 1u << 16;
    NVIC_ISER0 = 1u << (8 + k);
    TIMER_START(k) = 1;
}

void board_begin(void)
{
    for (uint8_t k = 0; k < LINE_COUNT; k++) {
        pin_begin(&pins[k]);
    }
    const uint32_t reasons = RESETREAS;
    RESETREAS = reasons;
    /* No reason at all is switching on or a brown-out: the chip does not tell them apart. */
    cause = reasons & 2u ? RESET_WATCHDOG
            : reasons & 1u ? RESET_BUTTON
            : reasons == 0 ? RESET_POWER_ON
                           : RESET_UNKNOWN;
    CLOCK_START = 1;
    (void)comes(&CLOCK_STARTED);
    for (uint8_t k = 0; k < 4; k++) {
        pulse[k] = 0x8000u;
    }
    pulses_begin();
    timer_begin(0);
    SAADC_RESOLUTION = 2;
    SAADC_PTR = (uint32_t)(uintptr_t)&sample;
    SAADC_COUNT = 1;
    /* A sixth of the voltage against 0.6 V: full scale at 3.6 V; 10 us for a sensor of some kiloohms. */
    SAADC_CONFIG = 2u << 16;
    SAADC_ENABLE = 1;
#if ROBOT_SERIAL
    GPIO_OUTSET(SERIAL_TX >> 5) = 1u << (SERIAL_TX & 31);
    GPIO_CNF(SERIAL_TX >> 5, SERIAL_TX & 31) = CNF_OUT;
    GPIO_CNF(SERIAL_RX >> 5, SERIAL_RX & 31) = CNF_PULLED_UP;
    UART_TXPIN = SERIAL_TX;
    UART_RXPIN = SERIAL_RX;
    /* The rate as a share of 16 MHz in 32 bits, rounded to its upper 20. */
    UART_RATE = (uint32_t)((((uint64_t)ROBOT_BAUD << 32) / 16000000u + 0x800u) & 0xFFFFF000u);
    UART_ENABLE = 4;
    UART_INTENSET = 1u << 2 | 1u << 7;
    NVIC_ISER0 = 1u << 2;
    UART_STARTRX = 1;
    UART_STARTTX = 1;
#endif
}

enum reset_cause board_reset_cause(void)
{
    return cause;
}

void turn(void)
{
    static uint8_t of_ms;
    TIMER_COMPARE(0, 0) = 0;
    TIMER_CC(0, 0) += TURN_US;
    turns++;
    if (++of_ms == 1000u / TURN_US) {
        of_ms = 0;
        ms++;
    }
#if ROBOT_ENCODERS + ROBOT_ECHOES > 0
    watched_lines();
#endif
}

uint32_t board_ms(void)
{
    return ms;
}

uint32_t board_us(void)
{
    TIMER_CAPTURE(0, 1) = 1;
    return TIMER_CC(0, 1);
}

#if ROBOT_GADGETS > 0
#define SLOT_US (20000u / ROBOT_GADGETS)

static const uint8_t gadget_lines[] = GADGET_LINES;
static volatile uint16_t wide[ROBOT_GADGETS];

/* One gadget after the other: up, and so long afterwards down. */
void gadget(void)
{
    static uint8_t at;
    static uint16_t up;
    const struct pin *pin = &pins[gadget_lines[at]];
    TIMER_COMPARE(1, 0) = 0;
    if (up == 0) {
        up = wide[at];
        if (up != 0) {
            level(pin, true);
            TIMER_CC(1, 0) += up;
            return;
        }
    }
    level(pin, false);
    TIMER_CC(1, 0) += SLOT_US - up;
    up = 0;
    at = (uint8_t)(at + 1 < ROBOT_GADGETS ? at + 1 : 0);
}

void board_servo(uint8_t k, uint16_t us)
{
    static bool begun;
    wide[k] = us;
    if (!begun) {
        begun = true;
        timer_begin(1);
    }
}
#else
void gadget(void)
{
    TIMER_COMPARE(1, 0) = 0;
}

void board_servo(uint8_t k, uint16_t us)
{
    (void)k;
    (void)us;
}
#endif

bool board_is_high(uint8_t line)
{
    return (GPIO_IN(pins[line].port) >> pins[line].bit & 1u) != 0;
}

void board_put(uint8_t line, bool high)
{
    level(&pins[line], high);
    GPIO_CNF(pins[line].port, pins[line].bit) = CNF_OUT;
}

void board_let_go(uint8_t line)
{
    GPIO_CNF(pins[line].port, pins[line].bit) = CNF_PULLED_UP;
}

/* High from the beginning of a period to the value; 0 is never. */
void board_pulses(uint8_t line, uint16_t per_mille)
{
    const uint8_t k = pins[line].pulses;
    if (k == NO_PULSES) {
        return;
    }
    pulse[k] = (uint16_t)(0x8000u | per_mille * PULSE_TOP / 1000u);
    PWM_START = 1;
}

uint16_t board_measured(uint8_t line)
{
    SAADC_PIN = pins[line].channel + 1u;
    SAADC_END = 0;
    SAADC_START = 1;
    (void)comes(&SAADC_STARTED);
    SAADC_SAMPLE = 1;
    const bool came = comes(&SAADC_END);
    SAADC_STOP = 1;
    (void)comes(&SAADC_STOPPED);
    return came && sample > 0 ? (uint16_t)sample : 0;
}

static void send_next(void)
{
    const int16_t c = serial_next();
    sends_now = c >= 0;
    if (sends_now) {
        UART_TXD = (uint8_t)c;
    }
}

void board_send(void)
{
    /* The interrupt comes at the end of a character only: the first one is sent from here. */
    __asm__ volatile("cpsid i" ::: "memory");
    if (!sends_now) {
        send_next();
    }
    __asm__ volatile("cpsie i" ::: "memory");
}

void serial(void)
{
    if (UART_RXDRDY != 0) {
        UART_RXDRDY = 0;
        serial_hear((char)UART_RXD);
    }
    if (UART_TXDRDY != 0) {
        UART_TXDRDY = 0;
        send_next();
    }
}

/* 120 ms of 32768 Hz; it stands still only while a debugger holds the processor. */
void board_watch(void)
{
    WDT_CONFIG = 1;
    WDT_CRV = 3932;
    WDT_RREN = 1;
    WDT_START = 1;
}

void board_feed(void)
{
    WDT_RR = 0x6E524635u;
}
