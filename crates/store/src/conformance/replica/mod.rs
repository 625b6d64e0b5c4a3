//! The checks of a kitchen's store.

pub mod applying;
pub mod enrolment;
pub mod refusals;
pub mod replacing;
pub mod revisions;
pub mod speaking;
pub mod together;
pub mod trust;

use crate::conformance::samples::{held, identity};
use crate::{NewRevision, ReplicaStore};

/// An enrolled kitchen that holds some revisions.
async fn kitchen_with(store: &dyn ReplicaStore, revisions: &[&NewRevision]) {
    store.enrol(identity("harbour")).await.unwrap();
    store.put_revisions(revisions.iter().map(|revision| held(revision)).collect()).await.unwrap();
}

/// One test for each check of a kitchen's store; `$place` makes a place and gives what opens the
/// store there: `fn place() -> impl AsyncFn() -> Arc<dyn ReplicaStore>`.
#[macro_export]
macro_rules! replica_conformance {
    ($place:path) => {
        $crate::conformance_tests! { replica, $place,
            applying: entries_are_taken_and_the_cursor_moves
                applying_again_changes_nothing
                a_cursor_may_pass_the_last_entry
                history_is_that_of_one_document
                what_never_came_may_be_withdrawn
                a_check_counts_what_is_held;
            enrolment: a_new_replica_is_nobodys
                a_replica_is_enrolled_once
                nothing_is_applied_before_enrolment
                the_last_contact_never_goes_back
                all_is_there_after_reopening;
            refusals: what_entries_need_must_be_held
                a_gap_is_refused
                another_epoch_or_view_is_refused
                another_history_is_refused
                a_stretch_must_be_whole_in_itself
                a_refused_stretch_leaves_nothing;
            replacing: replacing_forgets_entries_and_keeps_revisions
                a_whole_view_begins_at_the_beginning
                a_refused_replacement_leaves_nothing
                under_a_new_epoch_all_is_said_again
                under_the_same_epoch_nothing_is_said_again
                what_moved_is_said_again;
            revisions: bytes_come_back_untouched
                other_bytes_are_refused_whole
                missing_follows_pins
                closure_follows_pins_and_order_is_kept
                one_number_may_have_two_revisions;
            speaking: the_outbox_is_in_order_and_empties
                saying_again_changes_nothing a_later_word_renews_an_earlier_one
                statements_come_with_a_stretch
                only_held_entries_are_spoken_of;
            together: two_catch_ups_at_once_do_no_harm
                dropped_changes_happen_wholly_or_not_at_all;
            trust: a_root_never_goes_back
                the_newest_checkpoint_is_kept
                a_new_view_brings_its_checkpoint;
        }
    };
}
