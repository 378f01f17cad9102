/* Speed from edges over at least this long: shorter would count too few. */
#define SPEED_MS 20

static struct {
    uint32_t from_ms;
    uint16_t from;
    int16_t speed;
} wheels[ROBOT_ENCODERS];

static void wheels_start(void)
{
    for (uint8_t k = 0; k < ROBOT_ENCODERS; k++) {
        wheels[k].from_ms = board_ms();
        wheels[k].from = encoder_edges(k);
        wheels[k].speed = 0;
    }
}

static int16_t wheel_speed(uint8_t k, int16_t um_per_edge)
{
    const uint32_t ms = board_ms() - wheels[k].from_ms;
    if (ms >= SPEED_MS) {
        const uint16_t now = encoder_edges(k);
        const int16_t edges = (int16_t)(now - wheels[k].from);
        wheels[k].from_ms += ms;
        wheels[k].from = now;
        wheels[k].speed = (int16_t)((int32_t)edges * um_per_edge / (int32_t)ms);
    }
    return wheels[k].speed;
}
