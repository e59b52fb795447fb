/* SPDX-License-Identifier: Apache-2.0
 *
 * Tables of keys and notes tracks that anybody may have changed: both readers take the same bytes, and what is in them is
 * held against one small delivery.
 */
#include "fuzz_show.h"

#include "report/report_internal.h"

static const char plan[] =
    "{\"tallwide_plan\": 1, \"edit\": {\"file\": \"a.edl\", \"rate\": \"24/1\"},"
    "\"deliveries\": [{\"name\": \"tall\", \"size\": [1080, 1920]}], \"sources\": [{\"reel\": \"*\", \"size\": [3840, "
    "2160]}],"
    "\"notes\": [{\"id\": \"n001\", \"reel\": \"A003\", \"regions\": [{\"name\": \"hands\", \"need\": \"must\", "
    "\"keys\": "
    "[[\"01:00:00:00\", 0.1, 0.4, 0.1, 0.2], [\"01:00:02:00\", 0.7, 0.4, 0.1, 0.2]]}]}]}";
static const char edit[] = "TITLE: WHEEL\nFCM: NON-DROP FRAME\n"
                           "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
                           "* FROM CLIP NAME:  HANDS, \"SPOKE\"\n"
                           "002  B001     V     C        01:00:00:00 01:00:01:00 10:00:02:00 10:00:03:00\n";

static void told(tw_arena *arena, const tw_diags *diags)
{
    tw_buf text = {.arena = arena};
    tw_diags_write_text(diags, TW_NOTE, &text);
}

/* What the tool writes says what the framings say. */
static void own_pages(tw_arena *arena, const tw_derived *derived)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_buf keys = {.arena = arena}, notes = {.arena = arena};
    tw_report_keys(derived, 0, &keys);
    tw_report_vtt(derived, 0, &notes);
    FUZZ_CHECK(tw_report_keys_check(arena, derived, 0, tw_buf_str(&keys), TW_STR("keys"), diags) == TW_OK);
    FUZZ_CHECK(tw_report_vtt_check(arena, derived, 0, tw_buf_str(&notes), TW_STR("notes"), diags) == TW_OK);
    FUZZ_CHECK(tw_diags_kept(diags) == 0);
}

static void strange_pages(tw_arena *arena, const tw_derived *derived, tw_str bytes)
{
    tw_diags *keys = tw_diags_new(arena), *notes = tw_diags_new(arena), *all = tw_diags_new(arena);
    twi_keys rows;
    twi_cues cues;
    tw_status status = twi_report_keys_read(arena, bytes, TW_STR("keys"), keys, &rows);
    FUZZ_CHECK((status == TW_OK) != tw_diags_failed(keys));
    status = twi_report_vtt_read(arena, bytes, TW_STR("notes"), notes, &cues);
    FUZZ_CHECK((status == TW_OK) != tw_diags_failed(notes));
    tw_report_keys_check(arena, derived, 0, bytes, TW_STR("keys"), all);
    tw_report_vtt_check(arena, derived, 0, bytes, TW_STR("notes"), all);
    told(arena, keys);
    told(arena, notes);
    told(arena, all);
}

/* The same each time: made once. */
static const tw_derived *delivery(void)
{
    static tw_derived *derived;
    static fuzz_show s;
    const tw_derive_options options = {.threads = 1};
    if (derived != NULL)
        return derived;
    s.arena = tw_arena_new(NULL, NULL);
    FUZZ_CHECK(fuzz_load(&s, tw_str_z(plan), tw_str_z(edit)));
    FUZZ_CHECK(tw_derive(s.arena, s.plan, s.master, &options, tw_diags_new(s.arena), &derived) == TW_OK);
    own_pages(s.arena, derived);
    return derived;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    strange_pages(arena, delivery(), (tw_str){(const char *)data, size});
    tw_arena_free(&arena);
    return 0;
}
