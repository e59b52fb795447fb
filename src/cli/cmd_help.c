/* SPDX-License-Identifier: Apache-2.0
 *
 * What a command does, what a finding's code means, or what may stand in a plan.
 */
#include "cmd.h"

#include <string.h>

static void explain(const tw_code *code, tw_buf *out)
{
    tw_buf_addf(out, "TW%d, %s: %s\n\ncause  ", code->code, tw_severity_word(code->severity), code->title);
    say_wrapped(tw_str_z(code->cause), 7, say_width(), out);
    tw_buf_addz(out, "\ncure   ");
    say_wrapped(tw_str_z(code->cure), 7, say_width(), out);
    tw_buf_addc(out, '\n');
}

static void explain_json(const tw_code *code, tw_buf *out)
{
    tw_buf_addf(out, "{\"code\": \"TW%d\", \"severity\": \"%s\"", code->code, tw_severity_word(code->severity));
    tw_diag_json_text("title", tw_str_z(code->title), out);
    tw_diag_json_text("cause", tw_str_z(code->cause), out);
    tw_diag_json_text("cure", tw_str_z(code->cure), out);
    tw_buf_addc(out, '}');
}

/* "TW1701", "tw1701" or "1701". */
static const tw_code *code_named(tw_str word)
{
    int64_t number;
    tw_str digits = tw_str_istarts(word, TW_STR("TW")) ? tw_str_from(word, 2) : word;
    return tw_num_int(digits, &number) && number > 0 && number < 10000 ? tw_code_find((int)number) : NULL;
}

/* ---- the plan -------------------------------------------------------------------------------------------- */

static const char plan_example[] = "\n"
                                   "  {\"id\": \"n001\", \"reel\": \"B001\",\n"
                                   "   \"in\": \"09:14:04:00\", \"out\": \"09:14:10:12\",\n"
                                   "   \"regions\": [\n"
                                   "    {\"name\": \"rider\", \"need\": \"must\", \"keys\": [\n"
                                   "      [\"09:14:04:00\", 0.05, 0.3, 0.13, 0.46],\n"
                                   "      [\"09:14:10:00\", 0.52, 0.27, 0.16, 0.52]]}],\n"
                                   "   \"say\": \"hold the rider\", \"by\": \"editor\"}\n\n";

/* "notes[].regions[]" is called: each of "regions" of "notes". */
static void explain_where(const char *where, tw_buf *out)
{
    const char *dot = strrchr(where, '.'), *name = dot != NULL ? dot + 1 : where;
    size_t len = strcspn(name, "[");
    if (where[0] == '\0') {
        tw_buf_addz(out, "\nin the plan itself\n");
        return;
    }
    tw_buf_addf(out, "\nin %s\"%.*s\"", name[len] == '[' ? "each of " : "", (int)len, name);
    if (dot != NULL)
        tw_buf_addf(out, " of \"%.*s\"", (int)strcspn(where, "[."), where);
    tw_buf_addc(out, '\n');
}

static void explain_field(const tw_plan_field *field, tw_buf *out)
{
    size_t start = out->len;
    bool plain = strcmp(field->type, "text") == 0 || strncmp(field->type, "object", 6) == 0;
    tw_buf_addf(out, "  %s%s", field->name, field->required ? " *" : "");
    tw_buf text = {.arena = out->arena};
    tw_buf_addz(&text, field->help);
    if (!plain)
        tw_buf_addf(&text, " (%s)", tw_plan_takes(field));
    tw_buf_addc(&text, '\0');
    opt_row(start, 19, text.at, out);
}

static void explain_plan(tw_buf *out)
{
    size_t count;
    const tw_plan_field *fields = tw_plan_fields(&count);
    say_wrapped(TW_STR("A plan is a text file in JSON: what is made of an edit, and what must stay in the picture."
                       " `tallwide start` writes one; framing notes are added by hand, such as"),
                0, say_width(), out);
    tw_buf_addc(out, '\n');
    tw_buf_addz(out, plan_example);
    say_wrapped(
        TW_STR("Times are time code of the reel, not of the edit. Boxes are left, top, width and height in shares"
               " of the source picture: 0, 0 is its top left, 1, 1 its bottom right. Members with * must be there."
               " Of the others, a value last after a semicolon, as 1 in \"; 1\", holds where they are left out."),
        0, say_width(), out);
    tw_buf_addc(out, '\n');
    for (size_t i = 0; i < count; i++) {
        if (i == 0 || strcmp(fields[i].where, fields[i - 1].where) != 0)
            explain_where(fields[i].where, out);
        explain_field(&fields[i], out);
    }
}

/* ---- the commands ---------------------------------------------------------------------------------------- */

exit_code cmd_help(cli *app)
{
    if (app->arg_count == 0) {
        opt_overview(&app->out);
        return EXIT_FINE;
    }
    const command *named = cmd_find(tw_str_z(app->args[0]));
    const tw_code *code = code_named(tw_str_z(app->args[0]));
    if (named != NULL) {
        opt_help(named, &app->out);
    } else if (tw_str_is(tw_str_z(app->args[0]), "plan")) {
        explain_plan(&app->out);
    } else if (code != NULL && app->set.json) {
        explain_json(code, &app->out);
        tw_buf_addc(&app->out, '\n');
    } else if (code != NULL) {
        explain(code, &app->out);
    } else {
        say_error(
            "\"%s\" is neither a command nor the code of a finding nor \"plan\"; `tallwide codes` lists the codes",
            app->args[0]);
        return EXIT_USAGE;
    }
    return EXIT_FINE;
}

exit_code cmd_codes(cli *app)
{
    tw_buf_addz(&app->out, app->set.json ? "[" : "");
    for (size_t i = 0; tw_code_at(i) != NULL; i++) {
        const tw_code *code = tw_code_at(i);
        if (app->set.json) {
            tw_buf_addz(&app->out, i > 0 ? ",\n " : "");
            explain_json(code, &app->out);
            continue;
        }
        tw_buf_addf(&app->out, "TW%d  %-7s  %s\n", code->code, tw_severity_word(code->severity), code->title);
    }
    tw_buf_addz(&app->out, app->set.json ? "]\n" : "");
    return EXIT_FINE;
}
