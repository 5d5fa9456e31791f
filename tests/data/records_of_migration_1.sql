-- A database as migration 1 makes it, with the small yard of small_yard.py and its story; own data, 2026-11-25.
-- Written by sqlite3.Connection.iterdump(); never to be written again.
BEGIN TRANSACTION;
CREATE TABLE assembly (
    id TEXT PRIMARY KEY NOT NULL, unit_id TEXT NOT NULL REFERENCES unit (id), name TEXT NOT NULL,
    design TEXT NOT NULL
) STRICT;
INSERT INTO "assembly" VALUES('u1-elevator','u1','elevator','flight elevator');
CREATE TABLE caution_confirmed (
    unit_id TEXT NOT NULL REFERENCES unit (id), shift TEXT NOT NULL, person_id TEXT NOT NULL, caution TEXT NOT NULL,
    at TEXT NOT NULL,
    PRIMARY KEY (unit_id, shift, person_id, caution)
) STRICT, WITHOUT ROWID;
INSERT INTO "caution_confirmed" VALUES('u1','2026-03-02 early','mechanic','hopper empty','2026-03-02T05:00:00.000000Z');
INSERT INTO "caution_confirmed" VALUES('u1','2026-03-02 early','mechanic','lock out','2026-03-02T05:00:00.000000Z');
CREATE TABLE component (
    id TEXT PRIMARY KEY NOT NULL, sheet TEXT NOT NULL, position_id TEXT NOT NULL REFERENCES position (id),
    unit_id TEXT NOT NULL REFERENCES unit (id), description TEXT NOT NULL, label TEXT NOT NULL,
    installed_at TEXT NOT NULL, installed_hours REAL NOT NULL, retired_at TEXT, retired_hours REAL,
    retired_reason TEXT NOT NULL, replaced_by TEXT, properties TEXT NOT NULL, first_properties TEXT NOT NULL
) STRICT;
INSERT INTO "component" VALUES('bearing-left-1','bearing','u1-left','u1','bearing of the left side','1000000001','2026-03-02T05:00:00.000000Z',100.0,'2026-03-22T05:00:00.000000Z',220.0,'seized','bearing-left-2','{"bearing":"UC208","belt_length_mm":3800.5,"splices_mm":[0,1200]}','{"bearing":"UC208","belt_length_mm":4000}');
INSERT INTO "component" VALUES('bearing-right-1','bearing','u1-right','u1','bearing of the right side','1000000002','2026-03-02T05:00:00.000000Z',100.0,NULL,NULL,'',NULL,'{"bearing":"UC208","belt_length_mm":4000}','{"bearing":"UC208","belt_length_mm":4000}');
INSERT INTO "component" VALUES('bearing-left-2','bearing','u1-left','u1','bearing of the left side','1000000003','2026-03-22T05:00:00.000000Z',220.0,NULL,NULL,'',NULL,'{"bearing":"UC208","belt_length_mm":4000}','{"bearing":"UC208","belt_length_mm":4000}');
CREATE TABLE correction (
    record_id TEXT PRIMARY KEY NOT NULL REFERENCES record (id), event_id TEXT NOT NULL REFERENCES journal (id),
    at TEXT NOT NULL, person_id TEXT, reason TEXT NOT NULL, replacement_id TEXT REFERENCES record (id)
) STRICT;
INSERT INTO "correction" VALUES('01a211e5-5201-71ed-a16b-6e3efa74e697','01a211e5-5201-71ed-a16b-6e4219fddaa0','2026-03-09T05:00:00.000000Z','lead','three strokes, not two','01a211e5-5201-71ed-a16b-6e4219fddaa0');
INSERT INTO "correction" VALUES('01a211e5-5201-71ed-a16b-6e41a1adffdd','01a211e5-5201-71ed-a16b-6e4aaefef262','2026-03-10T05:00:00.000000Z','boss','not spliced at all',NULL);
CREATE TABLE finding (
    id TEXT PRIMARY KEY NOT NULL, unit_id TEXT NOT NULL REFERENCES unit (id),
    position_id TEXT NOT NULL REFERENCES position (id), component_id TEXT NOT NULL REFERENCES component (id),
    text TEXT NOT NULL, opened_at TEXT NOT NULL, opened_by TEXT NOT NULL, record_id TEXT, closed_at TEXT,
    closed_by TEXT, closed_reason TEXT NOT NULL, closing_record_id TEXT
) STRICT;
INSERT INTO "finding" VALUES('f1','u1','u1-left','bearing-left-1','seal pushed out','2026-03-03T05:00:00.000000Z','mechanic','01a211e5-5201-71ed-a16b-6e3ffc38b0ff','2026-03-05T05:00:00.000000Z','mechanic','closed by a job','01a211e5-5201-71ed-a16b-6e40b2b88f8b');
INSERT INTO "finding" VALUES('f2','u1','u1-left','bearing-left-1','seal pushed out','2026-03-03T05:00:00.000000Z','mechanic',NULL,'2026-03-22T05:00:00.000000Z','mechanic','the part was replaced','01a211e5-5201-71ed-a16b-6e4bf0d4f3b2');
INSERT INTO "finding" VALUES('f3','u1','u1-right','bearing-right-1','seal pushed out','2026-03-03T05:00:00.000000Z','mechanic',NULL,'2026-03-08T05:00:00.000000Z','lead','seal is in again',NULL);
CREATE TABLE hour_reading (
    unit_id TEXT NOT NULL REFERENCES unit (id), at TEXT NOT NULL, source_id TEXT NOT NULL, hours REAL NOT NULL,
    person_id TEXT,
    PRIMARY KEY (unit_id, at, source_id)
) STRICT, WITHOUT ROWID;
INSERT INTO "hour_reading" VALUES('u1','2026-03-02T17:00:00.000000Z','01a211e5-5201-71ed-a16b-6e46b05ea235',104.0,'mechanic');
INSERT INTO "hour_reading" VALUES('u1','2026-03-03T17:00:00.000000Z','01a211e5-5201-71ed-a16b-6e4219fddaa0',106.0,'mechanic');
INSERT INTO "hour_reading" VALUES('u1','2026-03-04T05:00:00.000000Z','01a211e5-5201-71ed-a16b-6e3ffc38b0ff',112.0,'mechanic');
INSERT INTO "hour_reading" VALUES('u1','2026-03-05T05:00:00.000000Z','01a211e5-5201-71ed-a16b-6e40b2b88f8b',118.0,'mechanic');
INSERT INTO "hour_reading" VALUES('u1','2026-03-22T05:00:00.000000Z','01a211e5-5201-71ed-a16b-6e4bf0d4f3b2',220.0,'mechanic');
CREATE TABLE journal (
    arrival INTEGER PRIMARY KEY,
    kiosk INTEGER NOT NULL CHECK (kiosk BETWEEN 0 AND 99),
    seq INTEGER NOT NULL CHECK (seq > 0),
    id TEXT NOT NULL UNIQUE CHECK (length(id) BETWEEN 1 AND 64),
    at TEXT NOT NULL CHECK (length(at) = 27),
    kind TEXT NOT NULL,
    person_id TEXT,
    body TEXT NOT NULL,
    previous_hash TEXT NOT NULL CHECK (length(previous_hash) = 64),
    hash TEXT NOT NULL CHECK (length(hash) = 64),
    UNIQUE (kiosk, seq)
) STRICT;
INSERT INTO "journal" VALUES(1,7,1,'01a211e5-5201-71ed-a16b-6e34d955dbd6','2026-03-02T05:00:00.000000Z','yard named',NULL,'{"name":"Quay Yard"}','0000000000000000000000000000000000000000000000000000000000000000','5d673b4b1fda196f2a517d143fae7b291ec05941d29bd09c69e1c70078f0b6bd');
INSERT INTO "journal" VALUES(2,7,2,'01a211e5-5201-71ed-a16b-6e352ee3f6a6','2026-03-02T05:00:00.000000Z','person added',NULL,'{"person":{"badge":"3000000001","id":"mechanic","language":"en","name":"Ada Okoro","role":"mechanic","units":"in"}}','5d673b4b1fda196f2a517d143fae7b291ec05941d29bd09c69e1c70078f0b6bd','689febe0bccdbfa8bc83b887fa97aec3712475fef378b5d9837706e92e48fdd8');
INSERT INTO "journal" VALUES(3,7,3,'01a211e5-5201-71ed-a16b-6e36e9a79e47','2026-03-02T05:00:00.000000Z','person added',NULL,'{"person":{"badge":"3000000002","id":"lead","language":"en","name":"Bo Lindqvist","role":"lead","units":"mm"}}','689febe0bccdbfa8bc83b887fa97aec3712475fef378b5d9837706e92e48fdd8','a421e38cf55884b6f4e15d465ba43fdd12e0e06a9fbc53169e324c77fb8894db');
INSERT INTO "journal" VALUES(4,7,4,'01a211e5-5201-71ed-a16b-6e3709ea04a2','2026-03-02T05:00:00.000000Z','person added',NULL,'{"person":{"badge":"3000000003","id":"boss","language":"en","name":"Cy Marek","role":"supervisor","units":"in"}}','a421e38cf55884b6f4e15d465ba43fdd12e0e06a9fbc53169e324c77fb8894db','5b76223303c4271e3f53888e630b6717235b514f6b10f809fe1af6bb66cccc72');
INSERT INTO "journal" VALUES(5,7,5,'01a211e5-5201-71ed-a16b-6e38835bbbc2','2026-03-02T05:00:00.000000Z','unit added',NULL,'{"assemblies":[{"design":"flight elevator","id":"u1-elevator","name":"elevator","unit_id":"u1"}],"positions":[{"assembly_id":"u1-elevator","id":"u1-right","name":"upper shaft bearing, right","sheet":"bearing","side":"right","unit_id":"u1","walk_order":0,"x":0.2,"y":0.9},{"assembly_id":"u1-elevator","id":"u1-left","name":"upper shaft bearing, left","sheet":"bearing","side":"left","unit_id":"u1","walk_order":1,"x":0.2,"y":0.9}],"unit":{"description":"","design":"flight elevator","id":"u1","label":"2000000001","name":"Sweeper 1"}}','5b76223303c4271e3f53888e630b6717235b514f6b10f809fe1af6bb66cccc72','c0264d2e22359fa24e37c2750d1571296de95b768096a20f7a191dc9ff8427d7');
INSERT INTO "journal" VALUES(6,7,6,'01a211e5-5201-71ed-a16b-6e39be05ca5f','2026-03-02T05:00:00.000000Z','label issued',NULL,'{"label":{"issued_at":"2026-03-02T05:00:00Z","kind":"component","number":"1000000001","retired_at":null,"retired_reason":"","subject_id":null},"serial":1}','c0264d2e22359fa24e37c2750d1571296de95b768096a20f7a191dc9ff8427d7','d25d8bced2fa89375249487611a5bb61fdf67b7c79c1aebec351652505b68261');
INSERT INTO "journal" VALUES(7,7,7,'01a211e5-5201-71ed-a16b-6e3adb777338','2026-03-02T05:00:00.000000Z','label issued',NULL,'{"label":{"issued_at":"2026-03-02T05:00:00Z","kind":"component","number":"1000000002","retired_at":null,"retired_reason":"","subject_id":null},"serial":2}','d25d8bced2fa89375249487611a5bb61fdf67b7c79c1aebec351652505b68261','f6fa48c623af183e067581801e44eae669e8182733706e421dca17535f37fa0c');
INSERT INTO "journal" VALUES(8,7,8,'01a211e5-5201-71ed-a16b-6e3b2affac09','2026-03-02T05:00:00.000000Z','label issued',NULL,'{"label":{"issued_at":"2026-03-02T05:00:00Z","kind":"component","number":"1000000003","retired_at":null,"retired_reason":"","subject_id":null},"serial":3}','f6fa48c623af183e067581801e44eae669e8182733706e421dca17535f37fa0c','d58c8cee735db4fbe6cdab0e5f21ccac3c6c3f5c19ac40cff0e5d41d5f1eb8db');
INSERT INTO "journal" VALUES(9,7,9,'01a211e5-5201-71ed-a16b-6e3c6953fe14','2026-03-02T05:00:00.000000Z','component installed',NULL,'{"component":{"description":"bearing of the left side","id":"bearing-left-1","installed_at":"2026-03-02T05:00:00Z","installed_hours":100,"label":"1000000001","position_id":"u1-left","properties":{"bearing":"UC208","belt_length_mm":4000},"replaced_by":null,"retired_at":null,"retired_hours":null,"retired_reason":"","sheet":"bearing","unit_id":"u1"}}','d58c8cee735db4fbe6cdab0e5f21ccac3c6c3f5c19ac40cff0e5d41d5f1eb8db','401accc5513f747ce4ff2e1fcf472878c177cf693eb3829cdcc9b49e8cf148a2');
INSERT INTO "journal" VALUES(10,7,10,'01a211e5-5201-71ed-a16b-6e3dca8ab419','2026-03-02T05:00:00.000000Z','component installed',NULL,'{"component":{"description":"bearing of the right side","id":"bearing-right-1","installed_at":"2026-03-02T05:00:00Z","installed_hours":100,"label":"1000000002","position_id":"u1-right","properties":{"bearing":"UC208","belt_length_mm":4000},"replaced_by":null,"retired_at":null,"retired_hours":null,"retired_reason":"","sheet":"bearing","unit_id":"u1"}}','401accc5513f747ce4ff2e1fcf472878c177cf693eb3829cdcc9b49e8cf148a2','4429dd495a497250084b499144bc5d5b1162c919b0af0f57fb41098443232241');
INSERT INTO "journal" VALUES(11,7,11,'01a211e5-5201-71ed-a16b-6e434b97f1f8','2026-03-02T05:00:00.000000Z','signed in','mechanic','{"shift":"2026-03-02 early"}','4429dd495a497250084b499144bc5d5b1162c919b0af0f57fb41098443232241','528dce2cbbede02355afcd5500845d6229942e03c1a39285036d874e94f4f2be');
INSERT INTO "journal" VALUES(12,7,12,'01a211e5-5201-71ed-a16b-6e4440ebd9c3','2026-03-02T05:00:00.000000Z','cautions confirmed','mechanic','{"cautions":["lock out","hopper empty"],"shift":"2026-03-02 early","unit_id":"u1"}','528dce2cbbede02355afcd5500845d6229942e03c1a39285036d874e94f4f2be','ae019173d66143a77f9e9470be263c84d3417db275de37ad2268b83e11296cf8');
INSERT INTO "journal" VALUES(13,7,13,'01a211e5-5201-71ed-a16b-6e45c555faba','2026-03-02T05:00:00.000000Z','sheet adopted','boss','{"revision":1,"sheet":"bearing","text":"title = ''bearing''"}','ae019173d66143a77f9e9470be263c84d3417db275de37ad2268b83e11296cf8','8648ba68f11c3fcb43dcd73ccdc535733fb25e47690bb88886d0f8bc67697c22');
INSERT INTO "journal" VALUES(14,7,14,'01a211e5-5201-71ed-a16b-6e46b05ea235','2026-03-02T17:00:00.000000Z','hours read','mechanic','{"hours":104,"unit_id":"u1"}','8648ba68f11c3fcb43dcd73ccdc535733fb25e47690bb88886d0f8bc67697c22','cbb282689f97d1b090d827eaf19e7a582a5ed39ab752b3bb5ae9fd4b247265b6');
INSERT INTO "journal" VALUES(15,7,15,'01a211e5-5201-71ed-a16b-6e3efa74e697','2026-03-03T05:00:00.000000Z','job done','mechanic','{"findings_closed":[],"findings_opened":[],"new_properties":null,"record":{"advice":[],"at":"2026-03-03T05:00:00Z","cautions":[],"component_id":"bearing-left-1","details":{},"grease":"lithium 2","hours":106,"id":"01a211e5-5201-71ed-a16b-6e3efa74e697","job":"grease","job_type":"grease","note":"","override_reason":"","person_id":"mechanic","position_id":"u1-left","readings":[],"scan_source":"scanner","sheet":"bearing","sheet_revision":1,"strokes":2,"unit_id":"u1","verdict":null}}','cbb282689f97d1b090d827eaf19e7a582a5ed39ab752b3bb5ae9fd4b247265b6','2bb541424b36fc55a9d3c2386eff8257c574df9652dc2c8707395444df2f92c6');
INSERT INTO "journal" VALUES(16,7,16,'01a211e5-5201-71ed-a16b-6e3ffc38b0ff','2026-03-04T05:00:00.000000Z','job done','mechanic','{"findings_closed":[],"findings_opened":[{"closed_at":null,"closed_by":null,"closed_reason":"","component_id":"bearing-left-1","id":"f1","opened_at":"2026-03-03T05:00:00Z","opened_by":"mechanic","position_id":"u1-left","record_id":"01a211e5-5201-71ed-a16b-6e3ffc38b0ff","text":"seal pushed out","unit_id":"u1"}],"new_properties":null,"record":{"advice":[],"at":"2026-03-04T05:00:00Z","cautions":[],"component_id":"bearing-left-1","details":{},"grease":"lithium 2","hours":112,"id":"01a211e5-5201-71ed-a16b-6e3ffc38b0ff","job":"adjust","job_type":"adjust","note":"","override_reason":"","person_id":"mechanic","position_id":"u1-left","readings":[{"limit_source":"yard sheet 4","lower":76.2,"phase":"as found","quantity":"strand-sag","rule":"guarded 95 %","side":"left","standard_uncertainty":0.2,"typed":"3 1/2","unit":"mm","upper":101.6,"value":70,"verdict":"within"},{"limit_source":"yard sheet 4","lower":76.2,"phase":"as found","quantity":"strand-sag","rule":"guarded 95 %","side":"right","standard_uncertainty":0.2,"typed":"3 1/2","unit":"mm","upper":101.6,"value":72,"verdict":"within"},{"limit_source":"yard sheet 4","lower":76.2,"phase":"as left","quantity":"strand-sag","rule":"guarded 95 %","side":"left","standard_uncertainty":0.2,"typed":"3 1/2","unit":"mm","upper":101.6,"value":88.9,"verdict":"within"}],"scan_source":"scanner","sheet":"bearing","sheet_revision":1,"strokes":null,"unit_id":"u1","verdict":"within"}}','2bb541424b36fc55a9d3c2386eff8257c574df9652dc2c8707395444df2f92c6','eb38604767ca5e956c2679698de12dad08b6b0e00c454ce9cd965e03a1d797ae');
INSERT INTO "journal" VALUES(17,7,17,'01a211e5-5201-71ed-a16b-6e40b2b88f8b','2026-03-05T05:00:00.000000Z','job done','mechanic','{"findings_closed":["f1"],"findings_opened":[],"new_properties":{"belt_length_mm":3800.5,"splices_mm":[0,1200]},"record":{"advice":[],"at":"2026-03-05T05:00:00Z","cautions":[],"component_id":"bearing-left-1","details":{},"grease":"lithium 2","hours":118,"id":"01a211e5-5201-71ed-a16b-6e40b2b88f8b","job":"splice","job_type":"splice","note":"","override_reason":"","person_id":"mechanic","position_id":"u1-left","readings":[],"scan_source":"scanner","sheet":"bearing","sheet_revision":1,"strokes":null,"unit_id":"u1","verdict":null}}','eb38604767ca5e956c2679698de12dad08b6b0e00c454ce9cd965e03a1d797ae','1b2f4a13db78e3a10e10a37e59faa4185e3de83ad4a15d3b480ca203f9c76982');
INSERT INTO "journal" VALUES(18,7,18,'01a211e5-5201-71ed-a16b-6e41a1adffdd','2026-03-06T05:00:00.000000Z','job done','mechanic','{"findings_closed":[],"findings_opened":[],"new_properties":{"belt_length_mm":3600},"record":{"advice":[],"at":"2026-03-06T05:00:00Z","cautions":[],"component_id":"bearing-left-1","details":{},"grease":"lithium 2","hours":124,"id":"01a211e5-5201-71ed-a16b-6e41a1adffdd","job":"splice","job_type":"splice","note":"","override_reason":"","person_id":"mechanic","position_id":"u1-left","readings":[],"scan_source":"scanner","sheet":"bearing","sheet_revision":1,"strokes":null,"unit_id":"u1","verdict":null}}','1b2f4a13db78e3a10e10a37e59faa4185e3de83ad4a15d3b480ca203f9c76982','e6427d0881d452cec7bf5fc7cb853d0554de0b30e2b6e766583b9cadb85c4fdb');
INSERT INTO "journal" VALUES(19,7,19,'01a211e5-5201-71ed-a16b-6e47cc6e5c14','2026-03-07T05:00:00.000000Z','finding opened','mechanic','{"finding":{"closed_at":null,"closed_by":null,"closed_reason":"","component_id":"bearing-left-1","id":"f2","opened_at":"2026-03-03T05:00:00Z","opened_by":"mechanic","position_id":"u1-left","record_id":null,"text":"seal pushed out","unit_id":"u1"}}','e6427d0881d452cec7bf5fc7cb853d0554de0b30e2b6e766583b9cadb85c4fdb','6c4024762778f7c52088cc522e11ca7fb17b8a7609f84b594376295efe30f99d');
INSERT INTO "journal" VALUES(20,7,20,'01a211e5-5201-71ed-a16b-6e48c77c72c1','2026-03-07T05:00:00.000000Z','finding opened','mechanic','{"finding":{"closed_at":null,"closed_by":null,"closed_reason":"","component_id":"bearing-right-1","id":"f3","opened_at":"2026-03-03T05:00:00Z","opened_by":"mechanic","position_id":"u1-right","record_id":null,"text":"seal pushed out","unit_id":"u1"}}','6c4024762778f7c52088cc522e11ca7fb17b8a7609f84b594376295efe30f99d','ffb1260ff031d27149def6af21d2e7bdd76bb0129504acb4f6198dc2eda630d8');
INSERT INTO "journal" VALUES(21,7,21,'01a211e5-5201-71ed-a16b-6e49e84c6471','2026-03-08T05:00:00.000000Z','finding closed','lead','{"finding_id":"f3","reason":"seal is in again"}','ffb1260ff031d27149def6af21d2e7bdd76bb0129504acb4f6198dc2eda630d8','88d1f85b93eaece95179a43a2dc1b508ca19c3d586908469969ad423df216961');
INSERT INTO "journal" VALUES(22,7,22,'01a211e5-5201-71ed-a16b-6e4219fddaa0','2026-03-09T05:00:00.000000Z','record corrected','lead','{"new_properties":null,"reason":"three strokes, not two","record_id":"01a211e5-5201-71ed-a16b-6e3efa74e697","replacement":{"advice":[],"at":"2026-03-03T17:00:00Z","cautions":[],"component_id":"bearing-left-1","details":{},"grease":"lithium 2","hours":106,"id":"01a211e5-5201-71ed-a16b-6e4219fddaa0","job":"grease","job_type":"grease","note":"","override_reason":"","person_id":"mechanic","position_id":"u1-left","readings":[],"scan_source":"scanner","sheet":"bearing","sheet_revision":1,"strokes":3,"unit_id":"u1","verdict":null}}','88d1f85b93eaece95179a43a2dc1b508ca19c3d586908469969ad423df216961','c7207ba1d76246e391b9b6d0e95148eb62308f461c50e33b674d5121677924cc');
INSERT INTO "journal" VALUES(23,7,23,'01a211e5-5201-71ed-a16b-6e4aaefef262','2026-03-10T05:00:00.000000Z','record corrected','boss','{"new_properties":null,"reason":"not spliced at all","record_id":"01a211e5-5201-71ed-a16b-6e41a1adffdd","replacement":null}','c7207ba1d76246e391b9b6d0e95148eb62308f461c50e33b674d5121677924cc','465dc0d74274c3c9d8fa7909991dd7b562fe24b1fd79a2aaaf227af60cbd23fa');
INSERT INTO "journal" VALUES(24,7,24,'01a211e5-5201-71ed-a16b-6e4bf0d4f3b2','2026-03-22T05:00:00.000000Z','component replaced','mechanic','{"new_component":{"description":"bearing of the left side","id":"bearing-left-2","installed_at":"2026-03-22T05:00:00Z","installed_hours":220,"label":"1000000003","position_id":"u1-left","properties":{"bearing":"UC208","belt_length_mm":4000},"replaced_by":null,"retired_at":null,"retired_hours":null,"retired_reason":"","sheet":"bearing","unit_id":"u1"},"old_component_id":"bearing-left-1","read_back":"camera","reason":"seized","record":{"advice":[],"at":"2026-03-22T05:00:00Z","cautions":[],"component_id":"bearing-left-1","details":{},"grease":"","hours":220,"id":"01a211e5-5201-71ed-a16b-6e4bf0d4f3b2","job":"replace","job_type":"replace","note":"","override_reason":"","person_id":"mechanic","position_id":"u1-left","readings":[],"scan_source":"scanner","sheet":"bearing","sheet_revision":1,"strokes":null,"unit_id":"u1","verdict":null}}','465dc0d74274c3c9d8fa7909991dd7b562fe24b1fd79a2aaaf227af60cbd23fa','307bd7ac8aac876b42efde991cd267f15056d34332cf5e5beab3ad90b3a3423c');
INSERT INTO "journal" VALUES(25,7,25,'01a211e5-5201-71ed-a16b-6e4cfc41871f','2026-03-23T05:00:00.000000Z','label retired','lead','{"number":"1000000002","reason":"torn off"}','307bd7ac8aac876b42efde991cd267f15056d34332cf5e5beab3ad90b3a3423c','fef2c2b27931a759b30368472aa9a7382df41b8628251bb14c9fae85953172ea');
INSERT INTO "journal" VALUES(26,7,26,'01a211e5-5201-71ed-a16b-6e4db152d38e','2026-03-23T05:00:00.000000Z','signed out','mechanic','{"reason":"idle"}','fef2c2b27931a759b30368472aa9a7382df41b8628251bb14c9fae85953172ea','23b749a9d2389b73bcae8fcccbf97a876c34501dc329fa1e4c008d6fe3eb525d');
CREATE TABLE label (
    number TEXT PRIMARY KEY NOT NULL, kind TEXT NOT NULL, subject_id TEXT, kiosk INTEGER NOT NULL,
    serial INTEGER NOT NULL, issued_at TEXT NOT NULL, retired_at TEXT, retired_reason TEXT NOT NULL
) STRICT;
INSERT INTO "label" VALUES('1000000001','component','bearing-left-1',7,1,'2026-03-02T05:00:00.000000Z','2026-03-22T05:00:00.000000Z','replaced on 2026-03-22; the part here now is bearing of the left side, label 1000000003');
INSERT INTO "label" VALUES('1000000002','component','bearing-right-1',7,2,'2026-03-02T05:00:00.000000Z','2026-03-23T05:00:00.000000Z','torn off');
INSERT INTO "label" VALUES('1000000003','component','bearing-left-2',7,3,'2026-03-02T05:00:00.000000Z',NULL,'');
CREATE TABLE last_done (
    component_id TEXT NOT NULL, job TEXT NOT NULL, at TEXT NOT NULL, record_id TEXT NOT NULL, hours REAL NOT NULL,
    person_id TEXT NOT NULL,
    PRIMARY KEY (component_id, job)
) STRICT, WITHOUT ROWID;
INSERT INTO "last_done" VALUES('bearing-left-1','adjust','2026-03-04T05:00:00.000000Z','01a211e5-5201-71ed-a16b-6e3ffc38b0ff',112.0,'mechanic');
INSERT INTO "last_done" VALUES('bearing-left-1','grease','2026-03-03T17:00:00.000000Z','01a211e5-5201-71ed-a16b-6e4219fddaa0',106.0,'mechanic');
INSERT INTO "last_done" VALUES('bearing-left-1','replace','2026-03-22T05:00:00.000000Z','01a211e5-5201-71ed-a16b-6e4bf0d4f3b2',220.0,'mechanic');
INSERT INTO "last_done" VALUES('bearing-left-1','splice','2026-03-05T05:00:00.000000Z','01a211e5-5201-71ed-a16b-6e40b2b88f8b',118.0,'mechanic');
CREATE TABLE person (
    id TEXT PRIMARY KEY NOT NULL, name TEXT NOT NULL, role TEXT NOT NULL, badge TEXT NOT NULL,
    units TEXT NOT NULL, language TEXT NOT NULL
) STRICT;
INSERT INTO "person" VALUES('mechanic','Ada Okoro','mechanic','3000000001','in','en');
INSERT INTO "person" VALUES('lead','Bo Lindqvist','lead','3000000002','mm','en');
INSERT INTO "person" VALUES('boss','Cy Marek','supervisor','3000000003','in','en');
CREATE TABLE position (
    id TEXT PRIMARY KEY NOT NULL, unit_id TEXT NOT NULL REFERENCES unit (id),
    assembly_id TEXT NOT NULL REFERENCES assembly (id), name TEXT NOT NULL, sheet TEXT NOT NULL,
    side TEXT NOT NULL, x REAL NOT NULL, y REAL NOT NULL, walk_order INTEGER NOT NULL
) STRICT;
INSERT INTO "position" VALUES('u1-right','u1','u1-elevator','upper shaft bearing, right','bearing','right',0.2,0.9,0);
INSERT INTO "position" VALUES('u1-left','u1','u1-elevator','upper shaft bearing, left','bearing','left',0.2,0.9,1);
CREATE TABLE property_change (
    record_id TEXT PRIMARY KEY NOT NULL, component_id TEXT NOT NULL REFERENCES component (id), at TEXT NOT NULL,
    changes TEXT NOT NULL
) STRICT;
INSERT INTO "property_change" VALUES('01a211e5-5201-71ed-a16b-6e40b2b88f8b','bearing-left-1','2026-03-05T05:00:00.000000Z','{"belt_length_mm":3800.5,"splices_mm":[0,1200]}');
CREATE TABLE reading (
    component_id TEXT NOT NULL, quantity TEXT NOT NULL, at TEXT NOT NULL, record_id TEXT NOT NULL,
    place INTEGER NOT NULL, side TEXT NOT NULL, phase TEXT NOT NULL, hours REAL NOT NULL, value REAL NOT NULL,
    PRIMARY KEY (component_id, quantity, at, record_id, place)
) STRICT, WITHOUT ROWID;
INSERT INTO "reading" VALUES('bearing-left-1','strand-sag','2026-03-04T05:00:00.000000Z','01a211e5-5201-71ed-a16b-6e3ffc38b0ff',0,'left','as found',112.0,70.0);
INSERT INTO "reading" VALUES('bearing-left-1','strand-sag','2026-03-04T05:00:00.000000Z','01a211e5-5201-71ed-a16b-6e3ffc38b0ff',1,'right','as found',112.0,72.0);
INSERT INTO "reading" VALUES('bearing-left-1','strand-sag','2026-03-04T05:00:00.000000Z','01a211e5-5201-71ed-a16b-6e3ffc38b0ff',2,'left','as left',112.0,88.9);
CREATE TABLE record (
    id TEXT PRIMARY KEY NOT NULL REFERENCES journal (id),
    component_id TEXT NOT NULL REFERENCES component (id), position_id TEXT NOT NULL REFERENCES position (id),
    unit_id TEXT NOT NULL REFERENCES unit (id), job TEXT NOT NULL, at TEXT NOT NULL, hours REAL NOT NULL,
    person_id TEXT NOT NULL REFERENCES person (id), verdict TEXT, strokes INTEGER, corrected_by TEXT,
    body TEXT NOT NULL
) STRICT;
INSERT INTO "record" VALUES('01a211e5-5201-71ed-a16b-6e3efa74e697','bearing-left-1','u1-left','u1','grease','2026-03-03T05:00:00.000000Z',106.0,'mechanic',NULL,2,'01a211e5-5201-71ed-a16b-6e4219fddaa0','{"advice":[],"at":"2026-03-03T05:00:00Z","cautions":[],"component_id":"bearing-left-1","details":{},"grease":"lithium 2","hours":106.0,"id":"01a211e5-5201-71ed-a16b-6e3efa74e697","job":"grease","job_type":"grease","note":"","override_reason":"","person_id":"mechanic","position_id":"u1-left","readings":[],"scan_source":"scanner","sheet":"bearing","sheet_revision":1,"strokes":2,"unit_id":"u1","verdict":null}');
INSERT INTO "record" VALUES('01a211e5-5201-71ed-a16b-6e3ffc38b0ff','bearing-left-1','u1-left','u1','adjust','2026-03-04T05:00:00.000000Z',112.0,'mechanic','within',NULL,NULL,'{"advice":[],"at":"2026-03-04T05:00:00Z","cautions":[],"component_id":"bearing-left-1","details":{},"grease":"lithium 2","hours":112.0,"id":"01a211e5-5201-71ed-a16b-6e3ffc38b0ff","job":"adjust","job_type":"adjust","note":"","override_reason":"","person_id":"mechanic","position_id":"u1-left","readings":[{"limit_source":"yard sheet 4","lower":76.2,"phase":"as found","quantity":"strand-sag","rule":"guarded 95 %","side":"left","standard_uncertainty":0.2,"typed":"3 1/2","unit":"mm","upper":101.6,"value":70.0,"verdict":"within"},{"limit_source":"yard sheet 4","lower":76.2,"phase":"as found","quantity":"strand-sag","rule":"guarded 95 %","side":"right","standard_uncertainty":0.2,"typed":"3 1/2","unit":"mm","upper":101.6,"value":72.0,"verdict":"within"},{"limit_source":"yard sheet 4","lower":76.2,"phase":"as left","quantity":"strand-sag","rule":"guarded 95 %","side":"left","standard_uncertainty":0.2,"typed":"3 1/2","unit":"mm","upper":101.6,"value":88.9,"verdict":"within"}],"scan_source":"scanner","sheet":"bearing","sheet_revision":1,"strokes":null,"unit_id":"u1","verdict":"within"}');
INSERT INTO "record" VALUES('01a211e5-5201-71ed-a16b-6e40b2b88f8b','bearing-left-1','u1-left','u1','splice','2026-03-05T05:00:00.000000Z',118.0,'mechanic',NULL,NULL,NULL,'{"advice":[],"at":"2026-03-05T05:00:00Z","cautions":[],"component_id":"bearing-left-1","details":{},"grease":"lithium 2","hours":118.0,"id":"01a211e5-5201-71ed-a16b-6e40b2b88f8b","job":"splice","job_type":"splice","note":"","override_reason":"","person_id":"mechanic","position_id":"u1-left","readings":[],"scan_source":"scanner","sheet":"bearing","sheet_revision":1,"strokes":null,"unit_id":"u1","verdict":null}');
INSERT INTO "record" VALUES('01a211e5-5201-71ed-a16b-6e41a1adffdd','bearing-left-1','u1-left','u1','splice','2026-03-06T05:00:00.000000Z',124.0,'mechanic',NULL,NULL,'01a211e5-5201-71ed-a16b-6e4aaefef262','{"advice":[],"at":"2026-03-06T05:00:00Z","cautions":[],"component_id":"bearing-left-1","details":{},"grease":"lithium 2","hours":124.0,"id":"01a211e5-5201-71ed-a16b-6e41a1adffdd","job":"splice","job_type":"splice","note":"","override_reason":"","person_id":"mechanic","position_id":"u1-left","readings":[],"scan_source":"scanner","sheet":"bearing","sheet_revision":1,"strokes":null,"unit_id":"u1","verdict":null}');
INSERT INTO "record" VALUES('01a211e5-5201-71ed-a16b-6e4219fddaa0','bearing-left-1','u1-left','u1','grease','2026-03-03T17:00:00.000000Z',106.0,'mechanic',NULL,3,NULL,'{"advice":[],"at":"2026-03-03T17:00:00Z","cautions":[],"component_id":"bearing-left-1","details":{},"grease":"lithium 2","hours":106.0,"id":"01a211e5-5201-71ed-a16b-6e4219fddaa0","job":"grease","job_type":"grease","note":"","override_reason":"","person_id":"mechanic","position_id":"u1-left","readings":[],"scan_source":"scanner","sheet":"bearing","sheet_revision":1,"strokes":3,"unit_id":"u1","verdict":null}');
INSERT INTO "record" VALUES('01a211e5-5201-71ed-a16b-6e4bf0d4f3b2','bearing-left-1','u1-left','u1','replace','2026-03-22T05:00:00.000000Z',220.0,'mechanic',NULL,NULL,NULL,'{"advice":[],"at":"2026-03-22T05:00:00Z","cautions":[],"component_id":"bearing-left-1","details":{},"grease":"","hours":220.0,"id":"01a211e5-5201-71ed-a16b-6e4bf0d4f3b2","job":"replace","job_type":"replace","note":"","override_reason":"","person_id":"mechanic","position_id":"u1-left","readings":[],"scan_source":"scanner","sheet":"bearing","sheet_revision":1,"strokes":null,"unit_id":"u1","verdict":null}');
CREATE TABLE sheet_text (
    sheet TEXT NOT NULL, revision INTEGER NOT NULL, text TEXT NOT NULL, adopted_at TEXT NOT NULL,
    PRIMARY KEY (sheet, revision)
) STRICT;
INSERT INTO "sheet_text" VALUES('bearing',1,'title = ''bearing''','2026-03-02T05:00:00.000000Z');
CREATE TABLE unit (
    id TEXT PRIMARY KEY NOT NULL, name TEXT NOT NULL, design TEXT NOT NULL, label TEXT NOT NULL,
    description TEXT NOT NULL
) STRICT;
INSERT INTO "unit" VALUES('u1','Sweeper 1','flight elevator','2000000001','');
CREATE TABLE yard (id INTEGER PRIMARY KEY CHECK (id = 1), name TEXT NOT NULL) STRICT;
INSERT INTO "yard" VALUES(1,'Quay Yard');
CREATE TRIGGER journal_is_never_changed BEFORE UPDATE ON journal BEGIN
    SELECT RAISE(ABORT, 'the journal is never changed');
END;
CREATE TRIGGER journal_is_never_shortened BEFORE DELETE ON journal BEGIN
    SELECT RAISE(ABORT, 'nothing is removed from the journal');
END;
CREATE TRIGGER journal_has_no_gap BEFORE INSERT ON journal
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM journal WHERE kiosk = NEW.kiosk)
    OR NEW.arrival IS NOT (SELECT coalesce(max(arrival), 0) + 1 FROM journal)
    OR EXISTS (SELECT 1 FROM journal WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'a journal entry follows the last one, once');
END;
CREATE INDEX assembly_of_unit ON assembly (unit_id);
CREATE INDEX position_of_unit ON position (unit_id, walk_order);
CREATE INDEX label_by_serial ON label (kiosk, serial);
CREATE UNIQUE INDEX one_part_at_a_position ON component (position_id) WHERE retired_at IS NULL;
CREATE INDEX parts_of_a_position ON component (position_id, installed_at);
CREATE INDEX parts_of_a_unit ON component (unit_id) WHERE retired_at IS NULL;
CREATE INDEX property_changes_of_a_part ON property_change (component_id, at);
CREATE INDEX record_of_component ON record
    (component_id, at, id, job, verdict, person_id, hours, strokes, corrected_by);
CREATE INDEX record_of_position ON record
    (position_id, at, id, job, verdict, person_id, hours, strokes, corrected_by);
CREATE INDEX open_finding_of_unit ON finding (unit_id, opened_at) WHERE closed_at IS NULL;
CREATE INDEX finding_of_component ON finding (component_id, opened_at);
COMMIT;
PRAGMA user_version = 1;
