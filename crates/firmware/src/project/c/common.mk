WARNINGS = -std=c99 -Wall -Wextra -Wconversion -Wshadow -Wstrict-prototypes -pedantic -Werror \
    -Wno-type-limits -Wno-tautological-compare
FLAGS = $(MACHINE) -Os -ffunction-sections -fdata-sections $(WARNINGS)
SOURCES = $(wildcard *.c)
OBJECTS = $(SOURCES:.c=.o)

all: robot.hex size

robot.elf: $(OBJECTS)
	$(CC) $(FLAGS) $(LINK) -Wl,--gc-sections -o $@ $(OBJECTS) $(LIBRARIES)

%.o: %.c $(wildcard *.h)
	$(CC) $(FLAGS) -c -o $@ $<

robot.hex: robot.elf
	$(OBJCOPY) -O ihex @SECTIONS@ $< $@

# Program: text and data; memory: data and bss.
size: robot.elf
	$(SIZE) robot.elf

load: robot.hex
	$(LOAD)

clean:
	rm -f $(OBJECTS) robot.elf robot.hex

.PHONY: all size load clean
