//! Changes to magnets: nearer to the ring.

use bout::Cause;

use super::changes::Maker;

/// How much nearer magnets are tried, m.
const NEARER_M: f64 = 5e-4;
/// Least gap in m that is left: a ring is no flatter than that and tyres give.
const LEAST_GAP_M: f64 = 5e-4;

impl Maker<'_> {
    /// Magnets half a millimetre nearer to a steel ring.
    pub(super) fn magnets(&mut self) {
        let robot = &self.base.robot;
        let room = |m: &robot::Magnet| m.gap.si() - NEARER_M >= LEAST_GAP_M - 1e-9;
        let steel = self.class.ring().surface.is_steel();
        if !steel || robot.magnets.is_empty() || !robot.magnets.iter().all(room) {
            return;
        }
        let mut design = self.base.clone();
        for m in &mut design.robot.magnets {
            m.gap = m.gap.clone().with_si(m.gap.si() - NEARER_M);
            let z = m.item.at[2].si() - NEARER_M;
            m.item.at[2] = m.item.at[2].clone().with_si(z);
        }
        let speaks_to = self.share(&[Cause::PushedTyresSlid, Cause::TakenFromSide]);
        self.add(
            "magnets-nearer",
            "magnets half a millimetre nearer to the ring",
            speaks_to,
            design,
        );
    }
}
