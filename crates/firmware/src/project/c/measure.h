/* From what a line measures to what a tactic reads. */
#ifndef MEASURE_H
#define MEASURE_H

#include <stdbool.h>
#include <stdint.h>

/* What a distance sensor reads when it sees nothing. */
#define SEES_NOTHING 32767

/* In per mille of full scale. */
uint16_t measured_share(uint8_t line);
uint16_t measured_mv(uint8_t line);
/* 0 where `raw` is `black`, 1000 where it is `white`, stopped at both. */
int16_t brightness(uint16_t raw, int16_t black, int16_t white);
/* Distance in mm of a sensor whose voltage is `offset_mv` + `slope` / distance. */
int16_t triangulated_mm(uint16_t mv, int32_t slope, int16_t offset_mv, int16_t farthest_mm);
/* Nearer reads as the nearest, farther as nothing. */
int16_t within_mm(uint16_t mm, int16_t nearest_mm, int16_t farthest_mm);
/* The angle of which `rise` / `run` is the tangent, in tenths of a degree; `run` is not below 0. */
int16_t slope_angle(int16_t rise, int16_t run);

#endif
