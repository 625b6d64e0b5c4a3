//! The checks of a hub's store.

pub mod access;
pub mod acks;
pub mod audit;
pub mod compaction;
pub mod deviations;
pub mod drafts;
pub mod feed;
pub mod lots;
pub mod reading;
pub mod refusals;
pub mod reopening;
pub mod repeating;
pub mod sites;
pub mod together;
pub mod trust;
pub mod views;
pub mod withdrawals;

/// One test for each check of a hub's store; `$place` makes a place and gives what opens the store
/// there: `fn place() -> impl AsyncFn() -> Arc<dyn HubStore>`.
#[macro_export]
macro_rules! hub_conformance {
    ($place:path) => {
        $crate::conformance_tests! { hub, $place,
            access: a_code_is_good_for_one_token
                guessing_a_code_makes_it_void
                a_code_ends
                a_name_is_one_accounts
                what_is_shut_out_stays_out
                accounts_come_by_name_with_their_tokens
                one_of_those_who_race_for_a_code_joins
                access_is_in_the_log
                accounts_outlive_a_restart;
            acks: acknowledging_again_changes_nothing
                the_latest_use_and_refusal_count
                acknowledgements_are_taken_all_or_none
                acknowledgements_are_filtered_and_ordered;
            compaction: a_compacted_view_joins_without_what_was_taken_out
                the_whole_view_keeps_what_was_taken_out
                a_view_may_be_compacted_again
                a_compaction_that_does_not_fit_is_refused;
            deviations: what_is_asked_is_kept_once
                what_is_asked_fits_what_is_held
                a_decision_is_an_entry_of_its_site
                a_decision_is_of_what_was_seen
                the_very_same_decision_is_refused
                a_decision_fits_what_was_asked
                deviations_are_listed_in_pages;
            audit: every_change_is_in_the_log
                what_changes_nothing_is_not_in_the_log
                what_is_done_to_the_whole_is_in_the_log
                the_log_comes_in_pages_the_newest_first;
            drafts: a_draft_is_made_read_and_listed
                a_changed_draft_is_not_changed_unseen
                a_draft_goes_through_review
                an_author_does_not_approve
                a_change_takes_approvals_back
                steps_fit_where_a_draft_stands
                a_repeated_step_changes_nothing
                request_ids_are_shared_with_releases
                a_release_takes_an_approved_draft_as_it_was_seen
                of_two_releases_of_a_draft_one_wins
                a_refused_release_leaves_the_draft
                of_those_who_change_a_draft_at_once_one_wins
                an_approval_and_a_change_at_once_lose_nothing
                drafts_are_there_after_reopening;
            feed: an_empty_hub_stands_at_zero
                positions_are_dense_and_start_at_one
                parts_take_consecutive_positions
                a_page_never_splits_a_release
                pages_join_to_the_whole_feed
                reading_past_the_end_gives_an_empty_page
                a_page_shows_what_was_committed
                a_release_is_found_by_its_id
                watchers_hear_of_commits;
            lots: a_note_is_kept_once
                notes_are_in_the_log
                a_note_is_of_a_known_site
                notes_are_filtered_and_come_in_pages;
            reading: bytes_come_back_untouched
                revisions_come_in_the_order_asked_for
                heads_are_the_latest_revisions_in_pages
                heads_hide_what_is_for_another_site
                ground_is_the_latest_of_what_is_asked_for
                closure_follows_pins;
            refusals: a_number_must_follow_the_latest
                a_pin_must_be_held_with_its_number_and_digest
                an_item_must_be_held_with_its_number_and_digest
                bytes_must_have_their_digest
                a_release_must_be_whole_in_itself
                a_release_id_is_used_once
                bytes_belong_to_one_revision
                a_refused_release_leaves_nothing;
            reopening: all_is_there_after_reopening
                positions_go_on_after_reopening;
            repeating: a_repeated_release_gets_the_first_answer
                a_request_id_with_other_content_is_refused
                releases_and_withdrawals_share_request_ids
                a_refused_request_may_be_mended_and_sent_again
                a_revision_that_is_held_is_passed_over
                revisions_of_one_document_may_come_together;
            sites: a_site_is_known_by_its_released_document
                the_document_released_last_counts
                going_back_takes_the_groups_back;
            together: writers_get_dense_positions_and_readers_see_no_gap
                one_of_those_who_race_for_a_number_wins
                one_request_sent_many_times_is_done_once
                refused_ones_leave_others_as_they_are
                dropped_changes_happen_wholly_or_not_at_all
                dropped_reads_leave_the_store_usable;
            trust: roots_follow_each_other
                entries_are_signed_anew;
            views: a_view_holds_what_addresses_the_site
                previous_positions_chain_within_a_view
                a_view_hides_the_parts_for_other_sites
                a_view_follows_the_groups
                an_unknown_site_has_no_view
                history_is_that_of_one_document;
            withdrawals: a_withdrawal_is_an_entry
                the_very_same_notice_is_refused
                only_what_was_released_can_be_withdrawn
                going_back_needs_a_held_revision_of_the_document
                a_refused_withdrawal_leaves_nothing;
        }
    };
}
