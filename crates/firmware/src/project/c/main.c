#include "board.h"
#include "motors.h"
#include "run.h"
#include "sensors.h"

int main(void)
{
    board_begin();
    motors_off();
    sensors_begin();
    run_begin(board_reset_cause());
    board_watch();
    for (;;) {
        run_once();
    }
}
