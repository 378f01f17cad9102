/* The same sequence of readings for whoever runs a tactic, and a number folded from what it decides. */
#ifndef BENCH_H
#define BENCH_H

/* Puts out a text; each kind of machine has its own. */
void bench_say(const char *text);

/* `blocks` times 256 looks, from the seed on; says the folded number after each block. */
void bench_run(unsigned long seed, unsigned int blocks);

#endif
