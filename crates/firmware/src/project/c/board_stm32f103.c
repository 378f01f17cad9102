/* STM32F103. SysTick is the clock; pulses of 20 kHz; the pulses of gadgets are timed by the clock interrupt and
 * a free timer. Registers and addresses: ST, reference manual RM0008. */
#include "board.h"

#include "pins.h"
#include "robot.h"
#include "serial.h"

#define AT(address) (*(volatile uint32_t *)(address))

#define RCC 0x40021000u
#define RCC_CR AT(RCC + 0x00)
#define RCC_CFGR AT(RCC + 0x04)
#define RCC_APB2ENR AT(RCC + 0x18)
#define RCC_APB1ENR AT(RCC + 0x1C)
#define RCC_CSR AT(RCC + 0x24)
#define FLASH_ACR AT(0x40022000u)
#define AFIO_MAPR AT(0x40010004u)
#define ADC 0x40012400u
#define ADC_SR AT(ADC + 0x00)
#define ADC_CR2 AT(ADC + 0x08)
#define ADC_SMPR2 AT(ADC + 0x10)
#define ADC_SQR3 AT(ADC + 0x34)
#define ADC_DR AT(ADC + 0x4C)
#define IWDG_KR AT(0x40003000u)
#define IWDG_PR AT(0x40003004u)
#define IWDG_RLR AT(0x40003008u)
#define SYST_CSR AT(0xE000E010u)
#define SYST_RVR AT(0xE000E014u)
#define SYST_CVR AT(0xE000E018u)
#define NVIC_ISER1 AT(0xE000E104u)
#define USART1 0x40013800u
#define USART_SR AT(USART1 + 0x00)
#define USART_DR AT(USART1 + 0x04)
#define USART_BRR AT(USART1 + 0x08)
#define USART_CR1 AT(USART1 + 0x0C)

/* Registers of a port and of a timer. */
#define GPIO(port, at) AT(0x40010800u + 0x400u * (port) + (at))
#define GPIO_CR(port, bit) GPIO(port, (bit) < 8 ? 0x00 : 0x04)
#define GPIO_IDR(port) GPIO(port, 0x08)
#define GPIO_BSRR(port) GPIO(port, 0x10)
#define TIMER(timer, at) AT(((timer) == 1 ? 0x40012C00u : 0x40000000u + 0x400u * ((timer) - 2u)) + (at))

enum { LEAVE, OUT_LOW, IN, IN_PULLED_UP, IN_PULLED_DOWN, MEASURES };
enum { MODE_ANALOGUE = 0x0, MODE_IN = 0x4, MODE_PULLED = 0x8, MODE_OUT = 0x2, MODE_OUT_TIMER = 0xA };

struct pin {
    uint8_t port, bit, channel, timer, output, begins;
};

static const struct pin pins[] = PINS;
#define LINE_COUNT (sizeof(pins) / sizeof(pins[0]))

/* Clock interrupts a second. */
#define TURNS 10000u
#define PULSE_HZ 20000u

/* Tries before it is taken that a clock does not come: some milliseconds. */
#define PATIENCE 20000u

static uint32_t clock_hz = 8000000u;
static volatile uint32_t turns, ms;
static enum reset_cause cause;

extern uint32_t stack_top[];
void reset(void);
void turn(void);
void serial(void);
void stuck(void);

/* Whatever is not expected stands still until the watchdog resets the chip. */
void stuck(void)
{
    for (;;) {
    }
}

/* Sixteen of the processor, then those of the chip up to that of the serial line, number 37. */
struct vectors {
    const void *stack;
    void (*called[15])(void);
    void (*chip[38])(void);
};

#define EIGHT_STUCK stuck, stuck, stuck, stuck, stuck, stuck, stuck, stuck

__attribute__((section(".vectors"), used)) static const struct vectors vectors = {
    stack_top,
    { reset, stuck, stuck, stuck, stuck, stuck, stuck, stuck, stuck, stuck, stuck, stuck, stuck, stuck, turn },
    { EIGHT_STUCK, EIGHT_STUCK, EIGHT_STUCK, EIGHT_STUCK, stuck, stuck, stuck, stuck, stuck, serial },
};

static void mode(const struct pin *pin, uint32_t mode)
{
    const uint32_t at = 4u * (pin->bit & 7u);
    GPIO_CR(pin->port, pin->bit) = (GPIO_CR(pin->port, pin->bit) & ~(0xFu << at)) | mode << at;
}

static void level(const struct pin *pin, bool high)
{
    GPIO_BSRR(pin->port) = high ? 1u << pin->bit : 0x10000u << pin->bit;
}

static void pin_begin(const struct pin *pin)
{
    switch (pin->begins) {
    case OUT_LOW:
        level(pin, false);
        mode(pin, MODE_OUT);
        break;
    case IN:
        mode(pin, MODE_IN);
        break;
    case IN_PULLED_UP:
    case IN_PULLED_DOWN:
        level(pin, pin->begins == IN_PULLED_UP);
        mode(pin, MODE_PULLED);
        break;
    case MEASURES:
        mode(pin, MODE_ANALOGUE);
        break;
    default:
        break;
    }
}

static bool comes(volatile uint32_t *reg, uint32_t mask, uint32_t value)
{
    for (uint32_t k = 0; k < PATIENCE; k++) {
        if ((*reg & mask) == value) {
            return true;
        }
    }
    return false;
}

/* 72 MHz from a crystal of 8 MHz, else 64 MHz from the chip's own clock, else that clock as it is. */
static void clock_begin(void)
{
    FLASH_ACR = 0x12;
    RCC_CR |= 1u << 16;
    const bool crystal = comes(&RCC_CR, 1u << 17, 1u << 17);
    /* Twice the crystal's nine times, or sixteen times half of the own one; slow bus and ADC slower. */
    RCC_CFGR = (crystal ? 1u << 16 | 7u << 18 : 14u << 18) | 4u << 8 | 2u << 14;
    RCC_CR |= 1u << 24;
    if (!comes(&RCC_CR, 1u << 25, 1u << 25)) {
        return;
    }
    RCC_CFGR |= 2u;
    if (comes(&RCC_CFGR, 0xCu, 8u)) {
        clock_hz = crystal ? 72000000u : 64000000u;
    }
}

static void timers_begin(void)
{
    for (uint8_t k = 0; k < LINE_COUNT; k++) {
        const struct pin *pin = &pins[k];
        if (pin->timer == 0) {
            continue;
        }
        /* Pulse mode 1 with the value taken over at the end of a period, on both halves of the register. */
        TIMER(pin->timer, 0x18) = 0x6868u;
        TIMER(pin->timer, 0x1C) = 0x6868u;
        TIMER(pin->timer, 0x28) = 0;
        TIMER(pin->timer, 0x2C) = clock_hz / PULSE_HZ - 1;
        TIMER(pin->timer, 0x20) |= 1u << 4u * (pin->output - 1u);
        TIMER(pin->timer, 0x44) = 1u << 15;
        TIMER(pin->timer, 0x14) = 1;
        TIMER(pin->timer, 0x00) = 0x81;
    }
}

void board_begin(void)
{
    /* Ports and alternative functions; the debug port keeps its two lines and gives back the rest. */
    RCC_APB2ENR |= 0x1Du;
    for (uint8_t k = 0; k < LINE_COUNT; k++) {
        pin_begin(&pins[k]);
    }
    const uint32_t flags = RCC_CSR;
    RCC_CSR = flags | 1u << 24;
    /* A reset of any kind pulls the reset pin too, and so that flag tells only if no other does. The chip
     * does not tell a brown-out from switching on. */
    cause = flags & 1u << 29 ? RESET_WATCHDOG
            : flags & 1u << 27 ? RESET_POWER_ON
            : flags & 1u << 26 ? RESET_BUTTON
                               : RESET_UNKNOWN;
    clock_begin();
    RCC_APB2ENR |= 1u << 9 | 1u << 11 | 1u << 14;
    RCC_APB1ENR |= 7u;
    AFIO_MAPR = 2u << 24;
    timers_begin();
    ADC_SMPR2 = 0x1B6DB6DBu;
    ADC_CR2 = 1;
    /* It measures itself first. */
    ADC_CR2 = 1u | 1u << 3;
    (void)comes(&ADC_CR2, 1u << 3, 0);
    ADC_CR2 = 1u | 1u << 2;
    (void)comes(&ADC_CR2, 1u << 2, 0);
#if ROBOT_SERIAL
    static const struct pin tx = { 0, 9, 0, 0, 0, LEAVE };
    mode(&tx, MODE_OUT_TIMER);
    USART_BRR = (clock_hz + ROBOT_BAUD / 2) / ROBOT_BAUD;
    USART_CR1 = 1u << 13 | 1u << 5 | 1u << 3 | 1u << 2;
    NVIC_ISER1 = 1u << (37 - 32);
#endif
    SYST_RVR = clock_hz / TURNS - 1;
    SYST_CVR = 0;
    SYST_CSR = 7;
}

enum reset_cause board_reset_cause(void)
{
    return cause;
}

#if ROBOT_GADGETS > 0
/* Turns of a gadget's slot: all of them come round in 20 ms. */
#define SLOT (TURNS / 50u / ROBOT_GADGETS)

static const uint8_t gadget_lines[] = GADGET_LINES;
static volatile uint16_t wide[ROBOT_GADGETS];

/* Steps of a clock interrupt, 0.1 ms: the rest of a pulse is waited for, at most that long. */
static void servo_turn(void)
{
    static uint8_t at;
    static uint16_t turn_of_slot, us;
    const struct pin *pin = &pins[gadget_lines[at]];
    if (turn_of_slot == 0) {
        us = wide[at];
        level(pin, us > 0);
    } else if (us > 0 && turn_of_slot == us / (1000000u / TURNS)) {
        const uint32_t left = us % (1000000u / TURNS) * (clock_hz / 1000000u);
        const uint32_t until = SYST_RVR > left ? SYST_RVR - left : 0;
        while (SYST_CVR > until && SYST_CVR != 0) {
        }
        level(pin, false);
    }
    if (++turn_of_slot >= SLOT) {
        turn_of_slot = 0;
        at = (uint8_t)(at + 1 < ROBOT_GADGETS ? at + 1 : 0);
    }
}

void board_servo(uint8_t k, uint16_t us)
{
    wide[k] = us;
}
#else
void board_servo(uint8_t k, uint16_t us)
{
    (void)k;
    (void)us;
}
#endif

void turn(void)
{
    static uint8_t of_ms;
    turns++;
    if (++of_ms == TURNS / 1000u) {
        of_ms = 0;
        ms++;
    }
#if ROBOT_GADGETS > 0
    servo_turn();
#endif
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
    uint32_t whole = turns;
    uint32_t left = SYST_CVR;
    if (whole != turns) {
        whole = turns;
        left = SYST_CVR;
    }
    return whole * (1000000u / TURNS) + (SYST_RVR - left) / (clock_hz / 1000000u);
}

bool board_is_high(uint8_t line)
{
    return (GPIO_IDR(pins[line].port) >> pins[line].bit & 1u) != 0;
}

void board_put(uint8_t line, bool high)
{
    level(&pins[line], high);
    mode(&pins[line], MODE_OUT);
}

void board_let_go(uint8_t line)
{
    level(&pins[line], true);
    mode(&pins[line], MODE_PULLED);
}

/* Lets the timer drive the pin, or the port alone. */
void board_pulses(uint8_t line, uint16_t per_mille)
{
    const struct pin *pin = &pins[line];
    if (pin->timer == 0) {
        return;
    }
    TIMER(pin->timer, 0x34u + 4u * (pin->output - 1u)) = per_mille * (clock_hz / PULSE_HZ) / 1000u;
    mode(pin, per_mille == 0 ? MODE_OUT : MODE_OUT_TIMER);
}

uint16_t board_measured(uint8_t line)
{
    ADC_SQR3 = pins[line].channel;
    ADC_CR2 = 1;
    if (!comes(&ADC_SR, 2u, 2u)) {
        return 0;
    }
    return (uint16_t)(ADC_DR & 0xFFFu);
}

void board_send(void)
{
    USART_CR1 |= 1u << 7;
}

void serial(void)
{
    const uint32_t status = USART_SR;
    if (status & 1u << 5) {
        serial_hear((char)USART_DR);
    }
    if ((status & 1u << 7) == 0) {
        return;
    }
    const int16_t c = serial_next();
    if (c < 0) {
        USART_CR1 &= ~(1u << 7);
    } else {
        USART_DR = (uint8_t)c;
    }
}

/* The chip's slow clock is 30 to 60 kHz: 70 to 140 ms. */
void board_watch(void)
{
    IWDG_KR = 0x5555;
    IWDG_PR = 2;
    IWDG_RLR = 262;
    IWDG_KR = 0xAAAA;
    IWDG_KR = 0xCCCC;
}

void board_feed(void)
{
    IWDG_KR = 0xAAAA;
}
