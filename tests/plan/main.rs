//! Plans of whole jobs: the acceptance scenarios, the demo, what is decided at the bench, replans.

#[path = "../case/mod.rs"]
mod case;
#[path = "../../benches/generated/mod.rs"]
mod generated;
#[path = "../planned/mod.rs"]
mod planned;
#[path = "../ticked/mod.rs"]
mod ticked;

mod clocks_go_forward;
mod decided;
mod demo_binds;
mod finish_scenarios;
mod follow_round;
mod grooves;
mod happens;
mod places_choice;
mod replan;
mod replan_any;
mod scenario_handed;
mod scenarios;
mod whole;
