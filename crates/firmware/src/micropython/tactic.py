    def since(self, then):
        return (self.now - then) & 0xFFFF

    def lasted(self, time):
        return self.since(self.step_since) >= time

    # What a timer shows.
    def shown(self, timer):
        return min(self.since(self.timer_since[timer]), 32767)

    def held(self, k):
        return self.is_held[k]

    # A condition that must hold for a while: once it has, it counts until it fails.
    def keep(self, k, holds, time):
        if not holds:
            self.hold_since[k] = self.now
            self.is_held[k] = False
        elif self.since(self.hold_since[k]) >= time:
            self.is_held[k] = True

    # A die of 0 to 999: xorshift of 16 bits by 7, 9 and 8 (Marsaglia 2003).
    def chance(self, per_mille):
        x = self.noise
        x ^= (x << 7) & 0xFFFF
        x ^= x >> 9
        x ^= (x << 8) & 0xFFFF
        self.noise = x
        return x % 1000 < per_mille

    # A reading, or what a sensor reads that is ignored.
    def masked(self, k, reading, blank):
        return blank if self.is_ignored[k] else reading

    def ignore(self, k, time):
        self.ignored_since[k] = self.now
        self.ignored_for[k] = time
        self.is_ignored[k] = time != 0

    def begin_step(self, step):
        self.step = step
        self.step_since = self.now

    def enter(self, state):
        self.state = state
        self.state_since = self.now
        self.begin_step(0)

    def drive(self, left, right):
        self.left = left
        self.right = right

    def pivot(self, x, to_left):
        self.drive(-x if to_left else x, x if to_left else -x)

    def arc(self, inner, outer, to_left):
        self.drive(inner if to_left else outer, outer if to_left else inner)

    # One look at the sensors, with a clock in ms that wraps. It always ends, and soon.
    def tick(self, readings, now):
        self.i = readings
        self.now = now & 0xFFFF
        if self.fresh:
            self.fresh = False
            self.state_since = self.step_since = self.now
            self.hold_since = [self.now] * len(self.hold_since)
            self.timer_since = [self.now] * len(self.timer_since)
        for k in range(len(self.ignored_for)):
            if self.since(self.ignored_since[k]) >= self.ignored_for[k]:
                self.is_ignored[k] = False
        self.remember()
        self.keep_all()
        starts = self.look_at_reflexes()
        changed = False
        if self.reflex != NONE:
            if (starts or not self.released()) and self.reflex_steps[self.reflex]():
                return
            to = REFLEX_THEN[self.reflex]
            self.reflex = NONE
            self.begin_step(0)
            if to != NONE:
                self.enter(to)
                changed = True
        if not changed:
            changed = self.leave[self.state]()
        began = self.step
        if self.steps[self.state](TO_THE_END):
            return
        to = STATE_THEN[self.state]
        if to == NONE:
            self.begin_step(0)
            # As far as where it began, so that nothing is done twice in a tick.
            timed, count = ONCE_ROUND[self.state]
            end = count if began >= count else began + timed[began]
            self.steps[self.state](end)
        elif not changed:
            self.enter(to)
            self.steps[self.state](TO_THE_END)
