/* ATmega328P and ATmega32U4. Timer 0 is the clock and makes pulses besides; a 16-bit timer times the
 * pulses of gadgets. Registers: data sheets of the two chips. */
#include "board.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/wdt.h>

#include "pins.h"
#include "robot.h"
#include "serial.h"

/* What makes pulses on a pin. */
enum { NO_PULSES, PULSES_0A, PULSES_0B, PULSES_1A, PULSES_1B, PULSES_2A, PULSES_2B, PULSES_3A, PULSES_4A, PULSES_4D };
enum { LEAVE, OUT_LOW, IN, IN_PULLED_UP };

struct pin {
    volatile uint8_t *port; /* none: it only measures */
    uint8_t mask, channel, pulses, begins;
};

static const struct pin pins[] = PINS;
#define LINE_COUNT (sizeof(pins) / sizeof(pins[0]))

/* A port's three registers lie one behind the other: PIN, DDR, PORT. */
#define READS(port) ((port)[-2])
#define DRIVES(port) ((port)[-1])

#ifdef __AVR_ATmega32U4__
#define SERIAL_DATA UDR1
#define SERIAL_STATUS UCSR1A
#define SERIAL_CONTROL UCSR1B
#define SERIAL_RATE UBRR1
#define SERIAL_EMPTY_VECTOR USART1_UDRE_vect
#define SERIAL_HEARD_VECTOR USART1_RX_vect
#define SERVO_COUNT TCNT3
#define SERVO_MATCH OCR3A
#define SERVO_CONTROL TCCR3B
#define SERVO_MASK TIMSK3
#define SERVO_VECTOR TIMER3_COMPA_vect
#else
#define SERIAL_DATA UDR0
#define SERIAL_STATUS UCSR0A
#define SERIAL_CONTROL UCSR0B
#define SERIAL_RATE UBRR0
#define SERIAL_EMPTY_VECTOR USART_UDRE_vect
#define SERIAL_HEARD_VECTOR USART_RX_vect
#define SERVO_COUNT TCNT1
#define SERVO_MATCH OCR1A
#define SERVO_CONTROL TCCR1B
#define SERVO_MASK TIMSK1
#define SERVO_VECTOR TIMER1_COMPA_vect
#endif
/* The bits of both serial lines have the same places. */
enum { RECEIVES = 4, SENDS = 3, CALLS_WHEN_HEARD = 7, CALLS_WHEN_EMPTY = 5, DOUBLE_RATE = 1 };

/* Timer 0 counts eighths of the clock to 256. */
#define TURN_US ((uint16_t)(256u * 8u / (F_CPU / 1000000u)))

static volatile uint32_t turns, ms;

/* Before anything else: the watchdog keeps running through a reset, and shorter than a start takes. */
static uint8_t cause __attribute__((section(".noinit")));
void first_of_all(void) __attribute__((naked, used, section(".init3")));
void first_of_all(void)
{
    cause = MCUSR;
    MCUSR = 0;
    wdt_disable();
}

enum reset_cause board_reset_cause(void)
{
    if (cause & 1 << WDRF) {
        return RESET_WATCHDOG;
    }
    if (cause & 1 << PORF) {
        return RESET_POWER_ON;
    }
    if (cause & 1 << BORF) {
        return RESET_BROWN_OUT;
    }
    return cause & 1 << EXTRF ? RESET_BUTTON : RESET_UNKNOWN;
}

static void pin_begin(const struct pin *pin)
{
    if (pin->port == 0 || pin->begins == LEAVE) {
        return;
    }
    if (pin->begins == OUT_LOW) {
        *pin->port &= (uint8_t)~pin->mask;
        DRIVES(pin->port) |= pin->mask;
        return;
    }
    DRIVES(pin->port) &= (uint8_t)~pin->mask;
    if (pin->begins == IN_PULLED_UP) {
        *pin->port |= pin->mask;
    } else {
        *pin->port &= (uint8_t)~pin->mask;
    }
}

/* Pulses of 256 eighths of the clock, 7.8 kHz at 16 MHz, on every timer. */
static void timers_begin(void)
{
    TCCR0A = 1 << WGM01 | 1 << WGM00;
    TCCR0B = 1 << CS01;
    TIMSK0 = 1 << TOIE0;
    TCCR1A = 1 << WGM10;
    TCCR1B = 1 << WGM12 | 1 << CS11;
#ifdef __AVR_ATmega32U4__
    TCCR3A = 1 << WGM30;
    TCCR3B = 1 << WGM32 | 1 << CS31;
    TC4H = 0;
    OCR4C = 255;
    TCCR4B = 1 << CS42;
    TCCR4A = 1 << PWM4A;
    TCCR4C = 1 << PWM4D;
#else
    TCCR2A = 1 << WGM21 | 1 << WGM20;
    TCCR2B = 1 << CS21;
#endif
#if ROBOT_GADGETS > 0
#ifdef __AVR_ATmega32U4__
    TCCR3A = 0;
#else
    TCCR1A = 0;
#endif
    SERVO_CONTROL = 2; /* eighths of the clock, to 65536 */
#endif
}

void board_begin(void)
{
    for (uint8_t k = 0; k < LINE_COUNT; k++) {
        pin_begin(&pins[k]);
    }
    timers_begin();
#if ROBOT_SERIAL
    SERIAL_STATUS = 1 << DOUBLE_RATE;
    SERIAL_RATE = (F_CPU / 4 / ROBOT_BAUD - 1) / 2;
    SERIAL_CONTROL = 1 << SENDS | 1 << RECEIVES | 1 << CALLS_WHEN_HEARD;
#endif
    /* The supply as the reference; 64ths of the clock, quicker than it is quite exact for. */
    ADMUX = 1 << REFS0;
    ADCSRA = 1 << ADEN | 1 << ADPS2 | 1 << ADPS1;
    sei();
}

ISR(TIMER0_OVF_vect)
{
    static uint16_t over;
    turns++;
    over += TURN_US;
    if (over >= 1000) {
        over -= 1000;
        ms++;
    }
#if ROBOT_ENCODERS + ROBOT_ECHOES > 0
    watched_lines();
#endif
}

uint32_t board_ms(void)
{
    const uint8_t status = SREG;
    cli();
    const uint32_t now = ms;
    SREG = status;
    return now;
}

uint32_t board_us(void)
{
    const uint8_t status = SREG;
    cli();
    uint32_t whole = turns;
    const uint8_t count = TCNT0;
    /* It has turned over, and the interrupt has not been called yet. */
    if ((TIFR0 & 1 << TOV0) && count < 255) {
        whole++;
    }
    SREG = status;
    return whole * TURN_US + count * TURN_US / 256;
}

bool board_is_high(uint8_t line)
{
    return (READS(pins[line].port) & pins[line].mask) != 0;
}

void board_put(uint8_t line, bool high)
{
    const struct pin *pin = &pins[line];
    const uint8_t status = SREG;
    cli();
    if (high) {
        *pin->port |= pin->mask;
    } else {
        *pin->port &= (uint8_t)~pin->mask;
    }
    DRIVES(pin->port) |= pin->mask;
    SREG = status;
}

void board_let_go(uint8_t line)
{
    const struct pin *pin = &pins[line];
    const uint8_t status = SREG;
    cli();
    DRIVES(pin->port) &= (uint8_t)~pin->mask;
    *pin->port |= pin->mask;
    SREG = status;
}

/* Lets the timer drive the pin, or the port alone: 0 of a timer would still be a short pulse. */
#define SET(control, bit, match, value)                      \
    do {                                                     \
        if ((value) == 0) {                                  \
            control &= (uint8_t) ~(1 << (bit));              \
        } else {                                             \
            match = (value);                                 \
            control |= (uint8_t)(1 << (bit));                \
        }                                                    \
    } while (0)

void board_pulses(uint8_t line, uint16_t per_mille)
{
    const uint8_t value = (uint8_t)((uint32_t)per_mille * 255 / 1000);
    const uint8_t status = SREG;
    cli();
    switch (pins[line].pulses) {
    case PULSES_0A:
        SET(TCCR0A, COM0A1, OCR0A, value);
        break;
    case PULSES_0B:
        SET(TCCR0A, COM0B1, OCR0B, value);
        break;
    case PULSES_1A:
        SET(TCCR1A, COM1A1, OCR1A, value);
        break;
    case PULSES_1B:
        SET(TCCR1A, COM1B1, OCR1B, value);
        break;
#ifdef __AVR_ATmega32U4__
    case PULSES_3A:
        SET(TCCR3A, COM3A1, OCR3A, value);
        break;
    case PULSES_4A:
        SET(TCCR4A, COM4A1, OCR4A, value);
        break;
    case PULSES_4D:
        SET(TCCR4C, COM4D1, OCR4D, value);
        break;
#else
    case PULSES_2A:
        SET(TCCR2A, COM2A1, OCR2A, value);
        break;
    case PULSES_2B:
        SET(TCCR2A, COM2B1, OCR2B, value);
        break;
#endif
    default:
        break;
    }
    SREG = status;
}

uint16_t board_measured(uint8_t line)
{
    const uint8_t channel = pins[line].channel;
#ifdef __AVR_ATmega32U4__
    ADCSRB = channel > 7 ? 1 << MUX5 : 0;
#endif
    ADMUX = (uint8_t)(1 << REFS0 | (channel & 7));
    ADCSRA |= 1 << ADSC;
    while (ADCSRA & 1 << ADSC) {
    }
    return ADC;
}

#if ROBOT_GADGETS > 0
#define TICKS(us) ((uint16_t)((us) * (F_CPU / 8000000u)))
#define SLOT_US (20000u / ROBOT_GADGETS)

static const uint8_t gadget_lines[] = GADGET_LINES;
static volatile uint16_t wide[ROBOT_GADGETS];

/* One gadget after the other: up, and so long afterwards down. */
ISR(SERVO_VECTOR)
{
    static uint8_t at;
    static uint16_t up;
    const struct pin *pin = &pins[gadget_lines[at]];
    if (up == 0) {
        up = wide[at];
        if (up != 0) {
            *pin->port |= pin->mask;
            SERVO_MATCH += TICKS(up);
            return;
        }
    }
    *pin->port &= (uint8_t)~pin->mask;
    SERVO_MATCH += TICKS(SLOT_US - up);
    up = 0;
    at = (uint8_t)(at + 1 < ROBOT_GADGETS ? at + 1 : 0);
}

void board_servo(uint8_t k, uint16_t us)
{
    const uint8_t status = SREG;
    cli();
    wide[k] = us;
    if ((SERVO_MASK & 1 << 1) == 0) {
        SERVO_MATCH = SERVO_COUNT + TICKS(100);
        SERVO_MASK |= 1 << 1;
    }
    SREG = status;
}
#else
void board_servo(uint8_t k, uint16_t us)
{
    (void)k;
    (void)us;
}
#endif

void board_send(void)
{
#if ROBOT_SERIAL
    SERIAL_CONTROL |= 1 << CALLS_WHEN_EMPTY;
#endif
}

#if ROBOT_SERIAL
ISR(SERIAL_EMPTY_VECTOR)
{
    const int16_t c = serial_next();
    if (c < 0) {
        SERIAL_CONTROL &= (uint8_t) ~(1 << CALLS_WHEN_EMPTY);
    } else {
        SERIAL_DATA = (uint8_t)c;
    }
}

ISR(SERIAL_HEARD_VECTOR)
{
    serial_hear((char)SERIAL_DATA);
}
#endif

void board_watch(void)
{
    wdt_enable(WDTO_120MS);
}

void board_feed(void)
{
    wdt_reset();
}
