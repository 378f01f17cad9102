#include "measure.h"

#include "board.h"
#include "robot.h"

uint16_t measured_share(uint8_t line)
{
    return (uint16_t)((uint32_t)board_measured(line) * 1000 / BOARD_MEASURED_MOST);
}

uint16_t measured_mv(uint8_t line)
{
    return (uint16_t)((uint32_t)board_measured(line) * BOARD_FULL_MV / BOARD_MEASURED_MOST);
}

int16_t brightness(uint16_t raw, int16_t black, int16_t white)
{
    if (black == white) {
        return 0;
    }
    const int32_t share = ((int32_t)raw - black) * 1000 / ((int32_t)white - black);
    if (share < 0) {
        return 0;
    }
    return share > 1000 ? 1000 : (int16_t)share;
}

int16_t triangulated_mm(uint16_t mv, int32_t slope, int16_t offset_mv, int16_t farthest_mm)
{
    const int32_t over = (int32_t)mv - offset_mv;
    if (over <= 0 || slope / over > farthest_mm) {
        return SEES_NOTHING;
    }
    return (int16_t)(slope / over);
}

int16_t within_mm(uint16_t mm, int16_t nearest_mm, int16_t farthest_mm)
{
    if (mm > (uint16_t)farthest_mm) {
        return SEES_NOTHING;
    }
    return mm < (uint16_t)nearest_mm ? nearest_mm : (int16_t)mm;
}

/* atan t is about t / (1 + 0.28 t * t) up to 1, within 0.3 degrees (a usual approximation, from memory;
 * held against the exact one in the tests); above 1 it is a right angle less that of 1 / t. */
int16_t slope_angle(int16_t rise, int16_t run)
{
    const int32_t up = rise < 0 ? -(int32_t)rise : rise;
    const int32_t on = run < 0 ? 0 : run;
    if (up == 0) {
        return 0;
    }
    const bool steep = up > on;
    const int32_t t = steep ? on * 1000 / up : up * 1000 / on;
    const int32_t tenths = 573 * t / (1000 + 28 * t / 100 * t / 1000);
    const int32_t angle = steep ? 900 - tenths : tenths;
    return (int16_t)(rise < 0 ? -angle : angle);
}
