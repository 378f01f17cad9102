//! Every figure of a robot, for lists of what was guessed.

use quantity::{Dimension, Figure, Origin};

use crate::{Gadget, Item, Mount, Moved, Plate, Play, Robot, SensorKind, Shape, Travel, Tyre};

/// One figure as a list shows it. All in SI.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureLine {
    /// Path, such as `wheel/left/grip` or `parts/ID/grip`.
    pub path: String,
    /// Where it came from.
    pub origin: Origin,
    /// Nominal value.
    pub si: f64,
    /// Half-width of what is not known well.
    pub unsure: f64,
    /// Half-width of what varies.
    pub varies: f64,
    /// The figure printed with its unit.
    pub shown: String,
    /// The half-width of what is not known printed with its unit.
    pub unsure_shown: String,
}

struct List(Vec<FigureLine>);

impl List {
    fn add<D: Dimension>(&mut self, f: &Figure<D>) {
        if self.0.iter().any(|l| l.path == f.path()) {
            return;
        }
        self.0.push(FigureLine {
            path: f.path().to_owned(),
            origin: f.origin(),
            si: f.si(),
            unsure: f.unsure(),
            varies: f.varies(),
            shown: quantity::show_si::<D>(f.si()),
            unsure_shown: if D::SI == "K" {
                format!("{:.1} K", f.unsure())
            } else {
                quantity::show::<D>(f.unsure(), 2)
            },
        });
    }

    fn item(&mut self, item: &Item) {
        self.add(&item.mass);
        for at in &item.at {
            self.add(at);
        }
        match &item.shape {
            Shape::Point => {}
            Shape::Box(size) => size.iter().for_each(|s| self.add(s)),
            Shape::CylinderAcross { radius, width } => {
                self.add(radius);
                self.add(width);
            }
        }
    }
}

impl Robot {
    /// Every figure once, in a fixed order; copies of a part share theirs.
    #[must_use]
    pub fn figures(&self) -> Vec<FigureLine> {
        let mut list = List(Vec::new());
        for item in self.items() {
            list.item(item);
        }
        for p in &self.hull {
            list.add(&p.from);
            list.add(&p.to);
            list.add(&p.friction);
            list.add(&p.rebound);
            list.add(&p.reflectance);
            list.add(&p.shine);
        }
        for m in &self.motors {
            list.add(&m.rated_voltage);
            list.add(&m.no_load_speed);
            list.add(&m.no_load_current);
            list.add(&m.stall_torque);
            list.add(&m.stall_current);
            list.add(&m.reflected_inertia);
            list.add(&m.gear_ratio);
            list.add(&m.gear_efficiency);
            list.add(&m.box_efficiency);
            list.add(&m.cooling.winding_to_case);
            list.add(&m.cooling.case_to_air);
            list.add(&m.cooling.winding_time);
            list.add(&m.cooling.case_time);
        }
        for w in &self.wheels {
            list.add(&w.ratio);
            list.add(&w.run_out);
            list.tyre(&w.tyre);
        }
        for t in &self.tracks {
            list.add(&t.ratio);
            list.add(&t.radius);
            list.add(&t.length);
            list.add(&t.width);
            list.tyre(&t.tyre);
        }
        for s in &self.skids {
            list.add(&s.friction);
            s.rolling.iter().for_each(|f| list.add(f));
        }
        for m in &self.magnets {
            list.add(&m.gap);
            list.add(&m.pull);
            list.add(&m.reach);
            list.add(&m.friction);
        }
        if let Some(b) = &self.blade {
            list.add(&b.tip_x);
            list.add(&b.tip_height);
            list.add(&b.width);
            list.add(&b.length);
            list.add(&b.angle);
            list.add(&b.edge);
            list.add(&b.friction);
            list.add(&b.rebound);
            list.mount(&b.mount);
        }
        for g in &self.gadgets {
            list.gadget(g);
        }
        list.add(&self.battery.voltage);
        list.add(&self.battery.resistance);
        list.add(&self.battery.capacity);
        list.add(&self.battery.charge);
        list.add(&self.driver.current_limit);
        list.add(&self.driver.resistance);
        list.add(&self.board.loop_time);
        list.add(&self.board.output_delay);
        list.add(&self.board.current);
        if let Some(volts) = &self.board.brown_out {
            list.add(volts);
            list.add(&self.board.boot_time);
        }
        for s in &self.sensors {
            list.add(&s.facing);
            list.add(&s.rate);
            list.add(&s.latency);
            list.add(&s.current);
            list.sensor(&s.kind);
        }
        list.add(&self.put_down);
        list.add(&self.put_down_heading);
        list.0
    }
}

impl List {
    fn sensor(&mut self, kind: &SensorKind) {
        match kind {
            SensorKind::Reflectance {
                spot,
                noise,
                fading_height,
            } => {
                self.add(spot);
                self.add(noise);
                self.add(fading_height);
            }
            SensorKind::Range {
                nearest,
                farthest,
                field_of_view,
                noise,
                misses,
                false_alarms,
            } => {
                self.add(nearest);
                self.add(farthest);
                self.add(field_of_view);
                self.add(noise);
                self.add(misses);
                self.add(false_alarms);
            }
            SensorKind::TimeOfFlight {
                nearest,
                farthest,
                field_of_view,
                time_budget,
                noise,
                noise_share,
                misses,
                false_alarms,
            } => {
                self.add(nearest);
                self.add(farthest);
                self.add(field_of_view);
                self.add(time_budget);
                self.add(noise);
                self.add(noise_share);
                self.add(misses);
                self.add(false_alarms);
            }
            SensorKind::Ultrasonic {
                nearest,
                farthest,
                field_of_view,
                slant,
                noise,
                set_for,
                dead_time,
                misses,
                false_alarms,
            } => {
                self.add(nearest);
                self.add(farthest);
                self.add(field_of_view);
                self.add(slant);
                self.add(noise);
                self.add(set_for);
                self.add(dead_time);
                self.add(misses);
                self.add(false_alarms);
            }
            SensorKind::Proximity {
                farthest,
                field_of_view,
                misses,
                false_alarms,
            } => {
                self.add(farthest);
                self.add(field_of_view);
                self.add(misses);
                self.add(false_alarms);
            }
            SensorKind::Current { noise, .. } => self.add(noise),
            SensorKind::WheelSpeed { counts, .. } => self.add(counts),
            SensorKind::TurnRate {
                noise,
                offset,
                most,
            } => {
                self.add(noise);
                self.add(offset);
                self.add(most);
            }
            SensorKind::Contact { width, trip_force } => {
                self.add(width);
                self.add(trip_force);
            }
            SensorKind::Tilt { noise } => self.add(noise),
        }
    }
}

/// What stands on the ring.
impl List {
    fn tyre(&mut self, t: &Tyre) {
        self.add(&t.grip_peak);
        self.add(&t.grip_sliding);
        self.add(&t.reference_load);
        self.add(&t.load_exponent);
        self.add(&t.rolling);
        // What a tyre does not have is no guess to worry about.
        if t.adhesion.si() + t.adhesion.unsure() > 0.0 {
            self.add(&t.adhesion);
        }
        if t.dirt_loss.si() + t.dirt_loss.unsure() > 0.0 {
            self.add(&t.dirt_loss);
            self.add(&t.dirt_length);
            self.add(&t.since_cleaned);
        }
        for (_, on) in &t.on {
            self.add(on);
        }
    }
}

/// What moves.
impl List {
    fn mount(&mut self, mount: &Mount) {
        match mount {
            Mount::Fixed { tip_stiffness } => tip_stiffness.iter().for_each(|f| self.add(f)),
            Mount::Hinged(play) => self.play(play),
            Mount::Sprung {
                play,
                preload,
                tip_stiffness,
            } => {
                self.play(play);
                self.add(preload);
                self.add(tip_stiffness);
            }
            Mount::Driven => {}
        }
    }

    fn play(&mut self, play: &Play) {
        self.add(&play.droop);
        self.add(&play.lift);
        play.hinge.iter().flatten().for_each(|f| self.add(f));
    }

    fn gadget(&mut self, g: &Gadget) {
        match &g.moved {
            Moved::Blade => {}
            Moved::Plate(plate) => self.plate(plate),
            Moved::Foot {
                at,
                apart,
                friction,
            } => {
                at.iter().chain(apart).for_each(|f| self.add(f));
                self.add(friction);
            }
        }
        self.add(&g.moving_mass);
        g.hinge.iter().chain(&g.droop).for_each(|f| self.add(f));
        match &g.travel {
            Travel::Turn(angle) => self.add(angle),
            Travel::Stroke(length) => self.add(length),
        }
        if let Some(d) = &g.drive {
            self.add(&d.rated_voltage);
            self.add(&d.no_load_speed);
            self.add(&d.no_load_current);
            self.add(&d.stall_torque);
            self.add(&d.stall_current);
            self.add(&d.reflected_inertia);
            self.add(&d.gear_ratio);
            self.add(&d.gear_efficiency);
            d.pinion_radius.iter().for_each(|f| self.add(f));
            self.add(&d.holds);
        }
    }

    fn plate(&mut self, p: &Plate) {
        p.tip.iter().for_each(|f| self.add(f));
        self.add(&p.facing);
        self.add(&p.width);
        self.add(&p.length);
        self.add(&p.angle);
        self.add(&p.edge);
        self.add(&p.friction);
    }
}
