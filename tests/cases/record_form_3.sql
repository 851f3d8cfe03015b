-- A record of form 3, as the program wrote it; never to be edited.
PRAGMA application_id = 1349280116;
PRAGMA user_version = 3;
BEGIN TRANSACTION;
CREATE TABLE learners (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    folded TEXT NOT NULL UNIQUE,
    made REAL NOT NULL,
    exam TEXT,
    last_used REAL NOT NULL
);
INSERT INTO "learners" VALUES(1,'Ada','ada',1790000000.0,NULL,1790000002.0);
CREATE TABLE migrations (name TEXT PRIMARY KEY, at REAL NOT NULL);
INSERT INTO "migrations" VALUES('learners, sittings, turns',1790000000.0);
INSERT INTO "migrations" VALUES('marks of a message',1790000000.0);
INSERT INTO "migrations" VALUES('where learners stand',1790000000.0);
CREATE TABLE said (
    turn INTEGER NOT NULL REFERENCES turns (id) ON DELETE CASCADE,
    number INTEGER NOT NULL,
    kind TEXT NOT NULL,
    about TEXT,
    verdict TEXT,
    step INTEGER,
    text TEXT NOT NULL,
    malrules TEXT NOT NULL, marks INTEGER, marks_of INTEGER,
    PRIMARY KEY (turn, number)
);
INSERT INTO "said" VALUES(1,1,'verdict','voltage','right',2,'.','["gives-the-larger-one-more","halves"]',NULL,NULL);
INSERT INTO "said" VALUES(1,2,'ask','voltage',NULL,3,'.','[]',NULL,NULL);
INSERT INTO "said" VALUES(2,1,'verdict','voltage','wrong',2,'.','["gives-the-larger-one-more","halves"]',NULL,NULL);
INSERT INTO "said" VALUES(2,2,'ask','voltage',NULL,3,'.','[]',NULL,NULL);
CREATE TABLE seen (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    turn INTEGER NOT NULL,
    said INTEGER NOT NULL,
    key TEXT NOT NULL,
    network TEXT NOT NULL,
    skills TEXT NOT NULL,
    answer TEXT NOT NULL,
    outcome TEXT NOT NULL,
    options INTEGER NOT NULL,
    helped INTEGER NOT NULL,
    weak INTEGER NOT NULL,
    malrules TEXT NOT NULL,
    sure INTEGER NOT NULL,
    blamed TEXT NOT NULL,
    chances TEXT NOT NULL,
    UNIQUE (turn, said),
    FOREIGN KEY (turn, said) REFERENCES said (turn, number) ON DELETE CASCADE
);
INSERT INTO "seen" VALUES(1,1,1,'V1','C1 = 3 uF -- C2 = 7 uF, across 20 V','["S05","S12"]','number','right',0,1,0,'["gives-the-larger-one-more","halves"]',1,'["S12"]','["halves"]');
INSERT INTO "seen" VALUES(2,2,1,'V2','C1 = 3 uF -- C2 = 7 uF, across 20 V','["S05","S12"]','number','wrong',0,1,0,'["gives-the-larger-one-more","halves"]',1,'["S12"]','["halves"]');
CREATE TABLE sittings (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    id TEXT NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learners (id) ON DELETE CASCADE,
    began REAL NOT NULL,
    opening TEXT NOT NULL,
    since INTEGER NOT NULL,
    continues TEXT REFERENCES sittings (id) ON DELETE CASCADE,
    version TEXT NOT NULL
);
INSERT INTO "sittings" VALUES(1,'f180ff38e2bf14961b0d400d092a7a42',1,1790000000.0,'{"network": "3 uF -- 7 uF, across 20 V"}',0,NULL,'');
CREATE TABLE standings (
    learner INTEGER PRIMARY KEY REFERENCES learners (id) ON DELETE CASCADE,
    folded_by INTEGER NOT NULL,
    upto INTEGER NOT NULL,
    at REAL NOT NULL,
    standing TEXT NOT NULL
);
INSERT INTO "standings" VALUES(1,1,2,1790000002.0,'[{"S05":[0.3714788732394366,1,0,0,[],[],0,null,1790000001.0,null,0],"S12":[0.1854906054279749,2,2,0,[],[[false,"C1 = 3 uF -- C2 = 7 uF, across 20 V"],[false,"C1 = 3 uF -- C2 = 7 uF, across 20 V"]],2,null,1790000002.0,null,0]},{"halves":[2,2,[],["matched","matched"],["C1 = 3 uF -- C2 = 7 uF, across 20 V"],0,[["f180ff38e2bf14961b0d400d092a7a42.lamp 0","V1"],["f180ff38e2bf14961b0d400d092a7a42.lamp 0","V2"]]],"gives-the-larger-one-more":[2,2,[],["matched","matched"],["C1 = 3 uF -- C2 = 7 uF, across 20 V"],0,[["f180ff38e2bf14961b0d400d092a7a42.lamp 0","V1"],["f180ff38e2bf14961b0d400d092a7a42.lamp 0","V2"]]]},[["f180ff38e2bf14961b0d400d092a7a42.lamp 0",["V1","V2"]]]]');
CREATE TABLE turns (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    sitting TEXT NOT NULL REFERENCES sittings (id) ON DELETE CASCADE,
    number INTEGER NOT NULL,
    at REAL NOT NULL,
    line TEXT NOT NULL,
    problem TEXT NOT NULL,
    open INTEGER NOT NULL,
    about TEXT NOT NULL,
    UNIQUE (sitting, number)
);
INSERT INTO "turns" VALUES(1,'f180ff38e2bf14961b0d400d092a7a42',1,1790000001.0,'V1 = 1 V','lamp 0',0,'V2');
INSERT INTO "turns" VALUES(2,'f180ff38e2bf14961b0d400d092a7a42',2,1790000002.0,'V2 = 2 V','lamp 0',1,'V2');
CREATE INDEX sittings_of_learner ON sittings (learner);
CREATE INDEX sittings_continued ON sittings (continues);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('learners',1);
INSERT INTO "sqlite_sequence" VALUES('sittings',1);
INSERT INTO "sqlite_sequence" VALUES('turns',2);
INSERT INTO "sqlite_sequence" VALUES('seen',2);
COMMIT;
