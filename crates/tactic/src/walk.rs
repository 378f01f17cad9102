//! Walking over a tree.

use crate::ast::{Action, Ask, Cond, Expr, Name, State, Step, Tree};

/// Every step of every state and reflex.
pub(crate) fn all_steps(tree: &Tree) -> impl Iterator<Item = &Step> {
    let states = tree.states.iter().flat_map(|s| &s.steps);
    states.chain(tree.reflexes.iter().flat_map(|r| &r.steps))
}

/// Calls `see` for every whole condition of a tactic.
pub(crate) fn every_cond<'t>(tree: &'t Tree, see: &mut dyn FnMut(&'t Cond)) {
    tree.remember_left
        .iter()
        .chain(&tree.remember_right)
        .for_each(&mut *see);
    for r in &tree.reflexes {
        see(&r.when);
        r.until.iter().for_each(&mut *see);
        r.steps.iter().for_each(|s| step_conds(s, see));
    }
    for s in &tree.states {
        state_conds(s, see);
    }
}

/// Calls `see` for every whole value of a tactic.
pub(crate) fn every_expr<'t>(tree: &'t Tree, see: &mut dyn FnMut(&'t Expr)) {
    every_cond(tree, &mut |c| {
        walk(c, &mut |c| cond_exprs(c, see));
    });
    tree.states
        .iter()
        .flat_map(|s| &s.stay)
        .for_each(|s| see(&s.time));
    for step in all_steps(tree) {
        step_exprs(step, see);
    }
}

/// Calls `see` for the whole conditions of a state.
pub(crate) fn state_conds<'t>(s: &'t State, see: &mut dyn FnMut(&'t Cond)) {
    s.ways.iter().for_each(|w| see(&w.1));
    s.steps.iter().for_each(|s| step_conds(s, see));
}

/// Calls `see` for the whole conditions of a step.
pub(crate) fn step_conds<'t>(s: &'t Step, see: &mut dyn FnMut(&'t Cond)) {
    s.until.iter().for_each(&mut *see);
    if let Action::Follow(rules) = &s.action {
        rules.iter().filter_map(|r| r.0.as_ref()).for_each(see);
    }
}

/// Calls `see` for the values of a step outside its conditions.
pub(crate) fn step_exprs<'t>(s: &'t Step, see: &mut dyn FnMut(&'t Expr)) {
    s.lasting.iter().for_each(&mut *see);
    each_act(&s.action, &mut |a| match a {
        Action::Drive(l, r) | Action::Arc(l, r, _) => {
            see(l);
            see(r);
        }
        Action::Bend(r, a, _, e) => [r, a, e].into_iter().for_each(&mut *see),
        Action::Pivot(e, _) | Action::Set(_, e) | Action::Ignore(_, e) => see(e),
        // A bare name is one of the gadget's ends, a constant or a counter.
        Action::Move(_, Expr::Name(_)) => {}
        Action::Move(_, e) => see(e),
        Action::Wait | Action::Follow(_) | Action::Restart(_) | Action::Release(_) => {}
    });
}

/// Calls `see` for a condition and all it contains.
pub(crate) fn walk<'t>(cond: &'t Cond, see: &mut dyn FnMut(&'t Cond)) {
    see(cond);
    match &cond.ask {
        Ask::Not(c) | Ask::For(c, _) => walk(c, see),
        Ask::And(a, b) | Ask::Or(a, b) => {
            walk(a, see);
            walk(b, see);
        }
        _ => {}
    }
}

/// Calls `see` for the values a condition holds itself.
pub(crate) fn cond_exprs<'t>(cond: &'t Cond, see: &mut dyn FnMut(&'t Expr)) {
    match &cond.ask {
        Ask::Within(_, e)
        | Ask::Beyond(_, e)
        | Ask::Above(_, e)
        | Ask::Below(_, e)
        | Ask::Over(_, e)
        | Ask::Chance(e)
        | Ask::For(_, e) => see(e),
        Ask::Compare(_, a, b) => {
            see(a);
            see(b);
        }
        Ask::Sees(_)
        | Ask::OnBorder(_)
        | Ask::Touched(_)
        | Ask::Not(_)
        | Ask::And(..)
        | Ask::Or(..) => {}
    }
}

/// Calls `see` for every name that a condition asks as a sensor or works with in its values.
pub(crate) fn cond_names<'t>(cond: &'t Cond, see: &mut dyn FnMut(&'t Name)) {
    walk(cond, &mut |c| {
        if let Ask::Sees(n)
        | Ask::OnBorder(n)
        | Ask::Touched(n)
        | Ask::Within(n, _)
        | Ask::Beyond(n, _)
        | Ask::Above(n, _)
        | Ask::Below(n, _) = &c.ask
        {
            see(n);
        }
        cond_exprs(c, &mut |e| expr_names(e, see));
    });
}

/// Calls `see` for an action and, for a `follow`, what its rules do.
pub(crate) fn each_act<'t>(action: &'t Action, see: &mut dyn FnMut(&'t Action)) {
    see(action);
    if let Action::Follow(rules) = action {
        rules.iter().for_each(|r| each_act(&r.1, see));
    }
}

/// Calls `see` for the names in a value.
pub(crate) fn expr_names<'t>(e: &'t Expr, see: &mut dyn FnMut(&'t Name)) {
    match e {
        Expr::Value(_) => {}
        Expr::Name(n) => see(n),
        Expr::Two(_, a, b) => {
            expr_names(a, see);
            expr_names(b, see);
        }
        Expr::Share(a, b, c) => [a, b, c].into_iter().for_each(|e| expr_names(e, see)),
    }
}
