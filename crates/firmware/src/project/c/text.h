/* Texts that stay in the program's memory: an 8-bit chip has too little of the other. */
#ifndef TEXT_H
#define TEXT_H

#ifdef __AVR__
#include <avr/pgmspace.h>
#define TEXT(s) PSTR(s)
#define TEXT_AT(p) ((char)pgm_read_byte(p))
#else
#define TEXT(s) (s)
#define TEXT_AT(p) (*(p))
#endif

#endif
