/* SPDX-License-Identifier: Apache-2.0 */
#include "cmd.h"

/* Source frames, first shown and one past the last: of a whole item as the file says it, of what a nest leaves of one
 * as far as that goes. */
typedef struct source_span {
    tw_rate rate;
    int64_t in, out;
} source_span;

static source_span span_of(const tw_timeline *t, const tw_stand *stand, const tw_item *item)
{
    source_span s = {.rate = tw_item_source_rate(t, item)};
    s.in = tw_time_round(item->source.start, s.rate, NULL);
    s.out = tw_time_round(tw_range_end(item->source), s.rate, NULL);
    int64_t first = tw_stand_frame(stand, stand->seen.first), end = tw_stand_frame(stand, stand->seen.end);
    if (stand->seen.end > stand->seen.first && (first != 0 || end != stand->frames)) {
        s.in = tw_item_shown_frame(t, item, first);
        s.out = tw_item_shown_frame(t, item, end);
    }
    return s;
}

/* ---- JSON ------------------------------------------------------------------------------------------------ */

static void json_time(const char *name, int64_t frames, tw_rate rate, bool drop, tw_buf *out)
{
    tw_diag_json_key(name, out);
    tw_buf_addc(out, '"');
    tw_tc_add(frames, rate, drop, out);
    tw_buf_addc(out, '"');
}

static void json_clip(const tw_timeline *t, const tw_stand *stand, const tw_item *item, tw_buf *out)
{
    tw_diag_json_text("event", item->event, out);
    tw_diag_json_text("name", item->name, out);
    tw_diag_json_text("reel", tw_item_source_name(item), out); /* as `compare` and plans call it */
    if (item->has_source) {
        source_span s = span_of(t, stand, item);
        json_time("source_in", s.in, s.rate, item->source_drop, out);
        json_time("source_out", s.out, s.rate, item->source_drop, out);
    }
}

static void json_tracks(const tw_timeline *t, const tw_track *tracks, size_t count, const tw_nesting *nesting,
                        int depth, tw_buf *out);

static void json_item(const tw_timeline *t, const tw_item *item, const tw_nesting *nesting, int depth, tw_buf *out)
{
    const tw_stand stand = tw_stand_of(t, nesting, item);
    tw_buf_addf(out, "{\"kind\": \"%s\"", tw_item_word(item->kind));
    if (item->kind == TW_ITEM_CLIP)
        json_clip(t, &stand, item, out);
    else
        tw_diag_json_text("name", item->name, out);
    json_time("record_in", stand.seen.first, t->rate, t->drop, out);
    json_time("record_out", stand.seen.end, t->rate, t->drop, out);
    tw_buf_addf(out, ", \"frames\": %lld", (long long)(stand.seen.end - stand.seen.first));
    if (item->kind == TW_ITEM_TRANSITION)
        tw_buf_addf(out, ", \"in_offset\": %lld, \"out_offset\": %lld",
                    (long long)tw_time_round(item->in_offset, t->rate, NULL),
                    (long long)tw_time_round(item->out_offset, t->rate, NULL));
    if (item->kind == TW_ITEM_CLIP || item->kind == TW_ITEM_NEST) {
        tw_buf_addz(out, ", \"speed\": ");
        tw_buf_add_double(out, item->speed);
    }
    tw_diag_json_bool("enabled", item->enabled, out);
    if (item->place.line > 0)
        tw_buf_addf(out, ", \"line\": %u", item->place.line);
    if (item->kind == TW_ITEM_NEST) {
        tw_buf_addz(out, ", \"items\": [");
        const tw_nesting inside = tw_nesting_inside(t, nesting, item);
        json_tracks(t, item->tracks, item->track_count, &inside, depth + 2, out);
        tw_buf_addz(out, "]");
    }
    tw_buf_addc(out, '}');
}

/* The items of several tracks, one after the other. */
static void json_tracks(const tw_timeline *t, const tw_track *tracks, size_t count, const tw_nesting *nesting,
                        int depth, tw_buf *out)
{
    for (size_t k = 0; k < count; k++) {
        for (size_t i = 0; i < tracks[k].item_count; i++) {
            tw_diag_json_next("\n", out);
            tw_buf_fill(out, ' ', (size_t)depth);
            json_item(t, &tracks[k].items[i], nesting, depth, out);
        }
    }
}

static void json_totals(const tw_totals *n, tw_buf *out)
{
    tw_buf_addf(out,
                " \"totals\": {\"video_clips\": %zu, \"audio_clips\": %zu, \"transitions\": %zu, \"nests\": %zu, "
                "\"record_frames\": %lld, \"gap_frames\": %lld, \"overlap_frames\": %lld, \"markers\": %zu},\n",
                n->video_clips, n->audio_clips, n->transitions, n->nests, (long long)n->record_frames,
                (long long)n->gap_frames, (long long)n->overlap_frames, n->markers);
}

static void list_json(cli *app, const char *path, const tw_timeline *t, bool fine)
{
    tw_buf *out = &app->out;
    const tw_nesting top = tw_nesting_top();
    tw_buf_addc(out, '{');
    tw_diag_json_bool("ok", fine, out);
    tw_diag_json_text("file", tw_str_z(path), out);
    if (t != NULL) {
        tw_diag_json_text("format", tw_str_z(t->format->name), out);
        tw_diag_json_text("name", t->name, out);
        tw_buf_addz(out, ", \"rate\": \"");
        tw_rate_write(t->rate, out);
        tw_buf_addc(out, '"');
        tw_diag_json_bool("drop", t->drop, out);
        json_time("start", tw_time_round(t->start, t->rate, NULL), t->rate, t->drop, out);
        tw_buf_addz(out, ",\n \"tracks\": [");
        for (size_t k = 0; k < t->track_count; k++) {
            const tw_track *track = &t->tracks[k];
            tw_diag_json_next("\n  {", out);
            tw_diag_json_text("kind", tw_str_z(tw_track_word(track->kind)), out);
            tw_diag_json_text("name", track->name, out);
            tw_diag_json_bool("enabled", track->enabled, out);
            tw_buf_addz(out, ", \"items\": [");
            json_tracks(t, track, 1, &top, 3, out);
            tw_buf_addz(out, "]}");
        }
        tw_buf_addz(out, "],\n");
        tw_totals totals = tw_timeline_totals(t);
        json_totals(&totals, out);
    } else {
        tw_buf_addz(out, ",\n");
    }
    tw_buf_addc(out, ' ');
    tw_diag_json_end(app->diags, out);
    app->told = true;
}

/* ---- text ------------------------------------------------------------------------------------------------ */

static void text_remarks(const tw_item *item, tw_buf *out)
{
    if (item->variable_speed)
        tw_buf_addz(out, "  variable speed");
    else if (item->kind == TW_ITEM_CLIP && item->speed >= 0 && item->speed <= 0)
        tw_buf_addz(out, "  freeze");
    else if (item->speed < 1 || item->speed > 1) {
        tw_buf_addz(out, "  speed ");
        tw_buf_add_fixed(out, item->speed * 100, 1);
        tw_buf_addz(out, " %");
    }
    if (!item->enabled)
        tw_buf_addz(out, "  disabled");
    if (item->marker_count > 0)
        tw_buf_addf(out, "  %zu marker%s", item->marker_count, TW_PLURAL(item->marker_count));
}

/* Edits without event numbers have their picture clips counted, as `fork` counts them. */
typedef struct texting {
    const tw_timeline *timeline;
    const tw_track *track;
    size_t shots;
    tw_buf *out;
} texting;

static void text_event(texting *x, const tw_item *item, tw_span shown)
{
    bool shot = item->kind == TW_ITEM_CLIP && x->track->kind == TW_TRACK_VIDEO && shown.first < shown.end;
    x->shots += shot;
    say_event(item->event, shot ? x->shots : 0, x->out);
    tw_buf_addc(x->out, ' ');
}

static void text_item(texting *x, const tw_item *item, const tw_nesting *nesting, int depth)
{
    const tw_timeline *t = x->timeline;
    const tw_nesting inside = tw_nesting_inside(t, nesting, item);
    const tw_stand stand = tw_stand_of(t, nesting, item);
    const tw_span seen = stand.seen;
    tw_buf *out = x->out;
    tw_buf_fill(out, ' ', (size_t)depth);
    text_event(x, item, stand.shown);
    tw_tc_add(seen.first, t->rate, t->drop, out);
    tw_buf_addf(out, " %6lld  ", (long long)(seen.end - seen.first));
    if (item->kind != TW_ITEM_CLIP) {
        tw_buf_addf(out, "%s%s", tw_item_word(item->kind), item->name.len > 0 ? " " : "");
        tw_buf_add_shown(out, item->name);
    } else {
        say_field(tw_item_source_name(item), 16, out);
        tw_buf_addc(out, ' ');
        if (item->has_source) {
            source_span s = span_of(t, &stand, item);
            tw_tc_add(s.in, s.rate, item->source_drop, out);
        } else {
            tw_buf_fill(out, ' ', 11);
        }
        tw_buf_addz(out, "  ");
        tw_buf_add_shown(out, item->name);
    }
    text_remarks(item, out);
    if (seen.end == seen.first && tw_item_frames(t, item) > 0)
        tw_buf_addz(out, "  not shown");
    while (out->at[out->len - 1] == ' ') /* of fields with nothing in them */
        out->len--;
    tw_buf_addc(out, '\n');
    for (size_t k = 0; k < item->track_count; k++)
        for (size_t i = 0; i < item->tracks[k].item_count; i++)
            text_item(x, &item->tracks[k].items[i], &inside, depth + 2);
}

static void text_totals(const tw_timeline *t, const tw_totals *n, tw_buf *out)
{
    tw_buf_addf(out, "\n%zu picture clip%s, %zu audio, %zu transition%s, %zu marker%s; ", n->video_clips,
                TW_PLURAL(n->video_clips), n->audio_clips, n->transitions, TW_PLURAL(n->transitions), n->markers,
                TW_PLURAL(n->markers));
    tw_tc_add(n->whole_frames, t->rate, t->drop, out);
    tw_buf_addf(out, " long (%lld frames)", (long long)n->whole_frames);
    if (n->record_frames > 0 && n->record_frames < n->whole_frames) {
        tw_buf_addz(out, ", pictures ");
        tw_tc_add(n->record_in, t->rate, t->drop, out);
        tw_buf_addz(out, " to ");
        tw_tc_add(n->record_in + n->record_frames, t->rate, t->drop, out);
    }
    if (n->gap_frames > 0)
        tw_buf_addf(out, ", %lld without picture", (long long)n->gap_frames);
    if (n->overlap_frames > 0)
        tw_buf_addf(out, ", %lld overlapping", (long long)n->overlap_frames);
    tw_buf_addz(out, "\n");
}

static void text_head(const tw_track *track, tw_buf *out)
{
    tw_buf_addf(out, "%s track%s", tw_track_word(track->kind), track->name.len > 0 ? " " : "");
    tw_buf_add_shown(out, track->name);
    tw_buf_addz(out, track->enabled ? "" : " (disabled)");
}

static void text_track(texting *x, const tw_track *track)
{
    x->track = track;
    tw_buf_addz(x->out, "\n");
    text_head(track, x->out);
    tw_buf_addz(x->out, "\n");
    tw_buf_addz(x->out, "event  record in   frames  source           source in    name\n");
    const tw_nesting top = tw_nesting_top();
    for (size_t i = 0; i < track->item_count; i++)
        text_item(x, &track->items[i], &top, 0);
}

/* Sound is a page for every track and mostly the same again. */
static void text_counted(const tw_track *track, bool first, tw_buf *out)
{
    size_t clips = 0;
    for (size_t i = 0; i < track->item_count; i++)
        clips += track->items[i].kind == TW_ITEM_CLIP;
    tw_buf_addz(out, first ? "\n" : "");
    text_head(track, out);
    tw_buf_addf(out, ": %zu clip%s%s\n", clips, TW_PLURAL(clips), first ? " (-v lists them)" : "");
}

static void list_text(cli *app, const tw_timeline *t)
{
    tw_buf *out = &app->out;
    tw_buf_addf(out, "%.*s: %s", TW_ARG(t->file), t->format->title);
    tw_buf_addz(out, t->name.len > 0 ? " \"" : "");
    tw_buf_add_shown(out, t->name);
    tw_buf_addz(out, t->name.len > 0 ? "\", " : ", ");
    tw_rate_write_spoken(t->rate, false, out);
    tw_buf_addf(out, " frames a second%s, starts at ", t->drop ? ", drop frame" : "");
    tw_tc_add(tw_time_round(t->start, t->rate, NULL), t->rate, t->drop, out);
    tw_buf_addc(out, '\n');
    texting x = {.timeline = t, .out = out};
    for (size_t k = 0; k < t->track_count; k++) {
        if (app->set.verbose || t->tracks[k].kind == TW_TRACK_VIDEO)
            text_track(&x, &t->tracks[k]);
        else
            text_counted(&t->tracks[k], k == 0 || t->tracks[k - 1].kind == TW_TRACK_VIDEO, out);
    }
    tw_totals totals = tw_timeline_totals(t);
    text_totals(t, &totals, out);
}

exit_code cmd_list(cli *app)
{
    const tw_read_options options = load_options(app);
    loaded edit = {.path = NULL};
    exit_code code = load_edit(app, app->args[0], &options, &edit);
    if (app->set.json && code != EXIT_IO)
        list_json(app, app->args[0], edit.timeline, code == EXIT_FINE);
    else if (code == EXIT_FINE && app->set.dump)
        tw_timeline_dump(edit.timeline, &app->out);
    else if (code == EXIT_FINE && app->set.plain)
        tw_recut_plain(edit.timeline, &app->out);
    else if (code == EXIT_FINE)
        list_text(app, edit.timeline);
    return code;
}
