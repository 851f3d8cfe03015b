-- A record of form 1, as the program wrote it; never to be edited.
PRAGMA application_id = 1349280116;
PRAGMA user_version = 1;
BEGIN TRANSACTION;
CREATE TABLE learners (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    folded TEXT NOT NULL UNIQUE,
    made REAL NOT NULL,
    exam TEXT,
    last_used REAL NOT NULL
);
INSERT INTO "learners" VALUES(1,'Visitor 7','visitor 7',1790000000.0,NULL,1790000010.0);
INSERT INTO "learners" VALUES(2,'Zoë','zoë',1790000020.0,NULL,1790000020.0);
CREATE TABLE migrations (name TEXT PRIMARY KEY, at REAL NOT NULL);
INSERT INTO "migrations" VALUES('learners, sittings, turns',1790000000.0);
CREATE TABLE said (
    turn INTEGER NOT NULL REFERENCES turns (id) ON DELETE CASCADE,
    number INTEGER NOT NULL,
    kind TEXT NOT NULL,
    about TEXT,
    verdict TEXT,
    step INTEGER,
    text TEXT NOT NULL,
    malrules TEXT NOT NULL,
    PRIMARY KEY (turn, number)
);
INSERT INTO "said" VALUES(1,1,'verdict','voltage','right',2,'What is said in turn 1. What is said in turn 1. What is said in turn 1. What is said in turn 1. What is said in turn 1. What is said in turn 1. What is said in turn 1. What is said in turn 1. ','["gives-the-larger-one-more","halves"]');
INSERT INTO "said" VALUES(1,2,'ask','voltage',NULL,3,'What is the p.d. across C2?','[]');
INSERT INTO "said" VALUES(2,1,'verdict','voltage','wrong',2,'What is said in turn 2. What is said in turn 2. What is said in turn 2. What is said in turn 2. What is said in turn 2. What is said in turn 2. What is said in turn 2. What is said in turn 2. What is said in turn 2. What is said in turn 2. What is said in turn 2. What is said in turn 2. What is said in turn 2. What is said in turn 2. What is said in turn 2. ','["gives-the-larger-one-more","halves"]');
INSERT INTO "said" VALUES(2,2,'ask','voltage',NULL,3,'What is the p.d. across C2?','[]');
INSERT INTO "said" VALUES(3,1,'hint','voltage',NULL,2,'What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. What is said in turn 3. ','[]');
INSERT INTO "said" VALUES(4,1,'verdict','voltage','right',2,'What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. What is said in turn 4. ','["gives-the-larger-one-more","halves"]');
INSERT INTO "said" VALUES(4,2,'ask','voltage',NULL,3,'What is the p.d. across C2?','[]');
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
INSERT INTO "seen" VALUES(3,4,1,'V4','C1 = 3 uF -- C2 = 7 uF, across 20 V','["S05","S12"]','number','right',0,1,0,'["gives-the-larger-one-more","halves"]',1,'["S12"]','["halves"]');
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
INSERT INTO "sittings" VALUES(1,'5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f',1,1790000000.0,'{"network": "3 uF -- 7 uF, across 20 V"}',0,NULL,'');
INSERT INTO "sittings" VALUES(2,'6a6a6a6a6a6a6a6a6a6a6a6a6a6a6a6a',1,1790000009.0,'{"network": "3 uF -- 7 uF, across 20 V"}',2,'5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f','');
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
INSERT INTO "turns" VALUES(1,'5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f',1,1790000001.0,'V1 = 1 V','lamp 0',0,'V2');
INSERT INTO "turns" VALUES(2,'5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f',2,1790000002.0,'V2 = 2 V','lamp 0',1,'V2');
INSERT INTO "turns" VALUES(3,'5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f',3,1790000003.0,'hint','lamp 0',1,'V1');
INSERT INTO "turns" VALUES(4,'6a6a6a6a6a6a6a6a6a6a6a6a6a6a6a6a',1,1790000010.0,'V4 = 4 V','lamp 0',1,'V2');
CREATE INDEX sittings_of_learner ON sittings (learner);
CREATE INDEX sittings_continued ON sittings (continues);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('learners',2);
INSERT INTO "sqlite_sequence" VALUES('sittings',2);
INSERT INTO "sqlite_sequence" VALUES('turns',4);
INSERT INTO "sqlite_sequence" VALUES('seen',3);
COMMIT;
