CC = arm-none-eabi-gcc
SIZE = arm-none-eabi-size
OBJCOPY = arm-none-eabi-objcopy
MACHINE = -mcpu=@CPU@ -mthumb -ffreestanding -fno-builtin -fno-tree-loop-distribute-patterns
LINK = -nostdlib -T board.ld
LIBRARIES = -lgcc
LOAD = @LOAD@
