CC = avr-gcc
SIZE = avr-size
OBJCOPY = avr-objcopy
MACHINE = -mmcu=@MCU@ -DF_CPU=@CLOCK@UL -fshort-enums
# Whoever loads it: an in-circuit programmer, or the boot loader of the board with its own options.
LOAD = avrdude -p @MCU@ -c @LOADER@ -P $(PORT) -U flash:w:robot.hex:i
