/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/tallwide.h - everything. Lower tiers first; a header includes only what stands above it here.
 */
#ifndef TALLWIDE_TALLWIDE_H
#define TALLWIDE_TALLWIDE_H

#include <tallwide/version.h>

#include <tallwide/base.h>

#include <tallwide/diag.h>
#include <tallwide/geom.h>
#include <tallwide/rtime.h>

#include <tallwide/jsonio.h>
#include <tallwide/path.h>
#include <tallwide/subject.h>

#include <tallwide/follow.h>
#include <tallwide/xmlio.h>

#include <tallwide/media.h>
#include <tallwide/cascade.h>
#include <tallwide/timeline.h>

#include <tallwide/edl.h>
#include <tallwide/otio.h>
#include <tallwide/plan.h>
#include <tallwide/smil.h>

#include <tallwide/formats.h>

#include <tallwide/derive.h>
#include <tallwide/proof.h>
#include <tallwide/recut.h>

#include <tallwide/preview.h>
#include <tallwide/report.h>

#endif
