/* The bench on this machine: seed and blocks are its arguments. */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>

void bench_say(const char *text)
{
    fputs(text, stdout);
}

int main(int count, char **words)
{
    if (count != 3) {
        return 2;
    }
    bench_run(strtoul(words[1], NULL, 10), (unsigned int)strtoul(words[2], NULL, 10));
    return 0;
}
