<?xml version="1.0" encoding="utf-8"?>
<!DOCTYPE TS>
<TS version="2.1" language="es" sourcelanguage="en_GB">
<context>
    <name>AddLearner</name>
    <message>
        <source>Somebody else who practises here, with a plan and a logbook of their own.</source>
        <translation>Otra persona que practica aquí, con su propio plan y su propio cuaderno.</translation>
    </message>
    <message>
        <source>Add a learner</source>
        <translation>Nuevo alumno</translation>
    </message>
    <message>
        <source>The new learner&apos;s name</source>
        <translation>Nombre del nuevo alumno</translation>
    </message>
    <message>
        <source>Name</source>
        <translation>Nombre</translation>
    </message>
    <message>
        <source>Add</source>
        <translation>Añadir</translation>
    </message>
</context>
<context>
    <name>AnswerPanel</name>
    <message>
        <source>Bars 1 to {bars}, beats 1 to {beats}. Tab or a point leads to the beat.</source>
        <translation>Compases del 1 al {bars}, tiempos del 1 al {beats}. Tab o un punto llevan al tiempo.</translation>
    </message>
    <message>
        <source>Bars 1 to {bars}, beats 1 to {beats}. Type two digits.</source>
        <translation>Compases del 1 al {bars}, tiempos del 1 al {beats}. Escribe dos cifras.</translation>
    </message>
    <message>
        <source>Bar</source>
        <translation>Compás</translation>
    </message>
    <message>
        <source>Beat</source>
        <translation>Tiempo</translation>
    </message>
</context>
<context>
    <name>BeatChart</name>
    <message>
        <source>the one</source>
        <translation>el uno</translation>
    </message>
    <message>
        <source>the two</source>
        <translation>el dos</translation>
    </message>
    <message>
        <source>the three</source>
        <translation>el tres</translation>
    </message>
    <message>
        <source>the four</source>
        <translation>el cuatro</translation>
    </message>
    <message>
        <source>{percent} % of your taps fell on {beat}.</source>
        <translation>El {percent} % de tus toques cayó en {beat}.</translation>
    </message>
</context>
<context>
    <name>BiasChart</name>
    <message>
        <source>{day}: {ms} ms early on average, from {trials}.</source>
        <translation>{day}: {ms} ms de adelanto de media, en {trials}.</translation>
    </message>
    <message>
        <source>{day}: {ms} ms late on average, from {trials}.</source>
        <translation>{day}: {ms} ms de retraso de media, en {trials}.</translation>
    </message>
</context>
<context>
    <name>BoardChoices</name>
    <message>
        <source>Groove</source>
        <translation>Ritmo</translation>
    </message>
    <message>
        <source>Which drum pattern plays. G takes the next, Shift+G the last.</source>
        <translation>Qué patrón de batería suena. G pasa al siguiente, Mayús+G al anterior.</translation>
    </message>
    <message>
        <source>Plays the phrase from a MIDI file, its drums and what else is in it.</source>
        <translation>Toca la frase de un archivo MIDI, con su batería y lo demás que tenga.</translation>
    </message>
    <message>
        <source>MIDI file…</source>
        <translation>MIDI…</translation>
    </message>
    <message>
        <source>O</source>
        <translation>O</translation>
    </message>
    <message>
        <source>Saves the phrase as a MIDI file: what is heard of your record, without the voice.</source>
        <translation>Guarda la frase en un archivo MIDI: lo que se oye de tu disco, sin la voz.</translation>
    </message>
    <message>
        <source>Saves the phrase, once round, as a sound: your record as you hear it here. For your own use.</source>
        <translation>Guarda la frase, una vuelta, como sonido: tu disco tal como lo oyes aquí. Para tu uso propio.</translation>
    </message>
    <message>
        <source>Save…</source>
        <translation>Guardar…</translation>
    </message>
    <message>
        <source>S</source>
        <translation>S</translation>
    </message>
    <message>
        <source>Drums</source>
        <translation>Batería</translation>
    </message>
    <message>
        <source>Which kind of drum kit plays. D takes the next.</source>
        <translation>Qué clase de batería suena. D pasa a la siguiente.</translation>
    </message>
    <message>
        <source>Phrases of {n} bars.</source>
        <translation>Frases de {n} compases.</translation>
    </message>
    <message>
        <source>All</source>
        <translation>Todo</translation>
    </message>
    <message>
        <source>All the drums are heard.</source>
        <translation>Se oye toda la batería.</translation>
    </message>
    <message>
        <source>Song</source>
        <translation>Canción</translation>
    </message>
    <message>
        <source>Drums, bass and chords are heard.</source>
        <translation>Se oyen batería, bajo y acordes.</translation>
    </message>
    <message>
        <source>Kick</source>
        <translation>Bombo</translation>
    </message>
    <message>
        <source>Only the kick is heard.</source>
        <translation>Solo se oye el bombo.</translation>
    </message>
    <message>
        <source>Snare or clap</source>
        <translation>Caja, palmada</translation>
    </message>
    <message>
        <source>Only snare, clap and rim are heard.</source>
        <translation>Solo se oyen la caja, la palmada y el aro.</translation>
    </message>
    <message>
        <source>Off</source>
        <translation>Sin voz</translation>
    </message>
    <message>
        <source>No voice counts.</source>
        <translation>Ninguna voz cuenta.</translation>
    </message>
    <message>
        <source>A voice counts one two three four, two two three four.</source>
        <translation>Una voz cuenta uno dos tres cuatro, dos dos tres cuatro.</translation>
    </message>
    <message>
        <source>A voice counts one A B C, two A B C.</source>
        <translation>Una voz cuenta uno A B C, dos A B C.</translation>
    </message>
    <message>
        <source>One record plays.</source>
        <translation>Suena un disco.</translation>
    </message>
    <message>
        <source>None</source>
        <translation>Ninguno</translation>
    </message>
    <message>
        <source>A second record plays: its one is on your {n}.</source>
        <translation>Suena un segundo disco: su «uno» cae en tu {n}.</translation>
    </message>
    <message>
        <source>On {n}</source>
        <translation>En {n}</translation>
    </message>
    <message>
        <source>A second record plays: its phrase begins in the middle of yours.</source>
        <translation>Suena un segundo disco: su frase empieza a mitad de la tuya.</translation>
    </message>
    <message>
        <source>Half a phrase</source>
        <translation>Media frase</translation>
    </message>
    <message>
        <source>The phrase of your record begins at once.</source>
        <translation>La frase de tu disco empieza enseguida.</translation>
    </message>
    <message>
        <source>{n} bars of drums, then the phrase of your record. For own records alone.</source>
        <translation>{n} compases de batería y después la frase de tu disco. Solo con discos propios.</translation>
    </message>
    <message>
        <source>No intro</source>
        <translation>Sin intro</translation>
    </message>
    <message>
        <source>Drum intro: {n} bars</source>
        <translation>Intro de batería: {n} compases</translation>
    </message>
    <message>
        <source>Bars in the phrase</source>
        <translation>Compases por frase</translation>
    </message>
    <message>
        <source>Hear</source>
        <translation>Oír</translation>
    </message>
    <message>
        <source>Voice</source>
        <translation>Voz</translation>
    </message>
    <message>
        <source>Second record</source>
        <translation>Segundo disco</translation>
    </message>
    <message>
        <source>Drum intro</source>
        <translation>Intro de batería</translation>
    </message>
</context>
<context>
    <name>BoardLine</name>
    <message>
        <source>Play</source>
        <translation>Poner</translation>
    </message>
    <message>
        <source>Step back</source>
        <translation>Atrás</translation>
    </message>
    <message>
        <source>Sounds the beat before.</source>
        <translation>Hace sonar el tiempo anterior.</translation>
    </message>
    <message>
        <source>Step on</source>
        <translation>Adelante</translation>
    </message>
    <message>
        <source>Sounds the next beat.</source>
        <translation>Hace sonar el tiempo siguiente.</translation>
    </message>
    <message>
        <source>First one</source>
        <translation>Al uno</translation>
    </message>
    <message>
        <source>Back to the phrase&apos;s first one.</source>
        <translation>Vuelve al primer uno de la frase.</translation>
    </message>
    <message>
        <source>Home</source>
        <translation>Inicio</translation>
    </message>
    <message>
        <source>Slower</source>
        <translation>Más lento</translation>
    </message>
    <message>
        <source>Takes the tempo down.</source>
        <translation>Baja el tempo.</translation>
    </message>
    <message>
        <source>Faster</source>
        <translation>Más rápido</translation>
    </message>
    <message>
        <source>Takes the tempo up.</source>
        <translation>Sube el tempo.</translation>
    </message>
    <message>
        <source>Tap</source>
        <translation>Marcar</translation>
    </message>
    <message>
        <source>Press it with the beat: its tempo is taken over.</source>
        <translation>Púlsalo con el pulso: se toma su tempo.</translation>
    </message>
    <message>
        <source>T</source>
        <translation>T</translation>
    </message>
    <message>
        <source>Space</source>
        <translation>Espacio</translation>
    </message>
    <message>
        <source>Stop</source>
        <translation>Parar</translation>
    </message>
    <message>
        <source>Stops the sound. The Space key does the same.</source>
        <translation>Para el sonido. La barra espaciadora hace lo mismo.</translation>
    </message>
    <message>
        <source>Plays from the one of the marked bar, round and round. The Space key does the same.</source>
        <translation>Suena desde el uno del compás marcado, una y otra vez. La barra espaciadora hace lo mismo.</translation>
    </message>
    <message>
        <source>Leave</source>
        <translation>Salir</translation>
    </message>
    <message>
        <source>Leaves the full window.</source>
        <translation>Vuelve a la ventana.</translation>
    </message>
    <message>
        <source>Esc</source>
        <translation>Esc</translation>
    </message>
    <message>
        <source>Sheet and sound alone, over the whole screen.</source>
        <translation>Solo la hoja y el sonido, en toda la pantalla.</translation>
    </message>
    <message>
        <source>Full window</source>
        <translation>Ampliar</translation>
    </message>
</context>
<context>
    <name>BoardScreen</name>
    <message>
        <source>The tutor&apos;s board</source>
        <translation>La pizarra del tutor</translation>
    </message>
    <message>
        <source>Count aloud with the sheet. Nothing is marked here.</source>
        <translation>Cuenta en voz alta con la hoja. Aquí no se evalúa nada.</translation>
    </message>
    <message>
        <source>Open a MIDI file</source>
        <translation>Abrir un archivo MIDI</translation>
    </message>
    <message>
        <source>MIDI files</source>
        <translation>Archivos MIDI</translation>
    </message>
    <message>
        <source>Sound</source>
        <translation>Sonido</translation>
    </message>
    <message>
        <source>Save as a sound</source>
        <translation>Guardar como sonido</translation>
    </message>
    <message>
        <source>Save as a MIDI file</source>
        <translation>Guardar como archivo MIDI</translation>
    </message>
    <message>
        <source>MIDI file</source>
        <translation>Archivo MIDI</translation>
    </message>
    <message>
        <source>One moment: the sound is being made …</source>
        <translation>Un momento: se está preparando el sonido …</translation>
    </message>
</context>
<context>
    <name>CalendarPicture</name>
    <message>
        <source>{day}: {minutes}, {trials}.</source>
        <translation>{day}: {minutes}, {trials}.</translation>
    </message>
</context>
<context>
    <name>CalibrationCard</name>
    <message>
        <source>Calibration</source>
        <translation>Calibración</translation>
    </message>
    <message>
        <source>By tapping</source>
        <translation>Tocando</translation>
    </message>
    <message>
        <source>Thirty relaxed taps to a click; zero is then your own relaxed tap. Key K.</source>
        <translation>Treinta toques relajados con un clic; el cero es después tu propio toque relajado. Tecla K.</translation>
    </message>
    <message>
        <source>By microphone</source>
        <translation>Con micrófono</translation>
    </message>
    <message>
        <source>The microphone hears click and key in one recording; only the equipment&apos;s delay is removed. Key M.</source>
        <translation>El micrófono oye clic y tecla en una sola grabación; se quita solo el retardo del equipo. Tecla M.</translation>
    </message>
    <message>
        <source>Breaks the measurement off. Escape does the same.</source>
        <translation>Interrumpe la medición. Escape hace lo mismo.</translation>
    </message>
    <message>
        <source>Stop</source>
        <translation>Parar</translation>
    </message>
    <message>
        <source>Esc</source>
        <translation>Esc</translation>
    </message>
    <message>
        <source>How much is measured</source>
        <translation>Cuánto se ha medido</translation>
    </message>
    <message>
        <source>K</source>
        <translation>K</translation>
    </message>
    <message>
        <source>Choose it with headphones, or without a microphone. Your own relaxed tap then counts as on time.</source>
        <translation>Elígelo con auriculares o si no hay micrófono. Tu propio toque relajado cuenta entonces como a tiempo.</translation>
    </message>
    <message>
        <source>M</source>
        <translation>M</translation>
    </message>
    <message>
        <source>Choose it to see how far you yourself tap ahead: only the equipment&apos;s delay goes.</source>
        <translation>Elígelo para ver cuánto te adelantas tú: solo se quita el retardo del equipo.</translation>
    </message>
    <message>
        <source>Tap one key along with the clicks, relaxed, as you always do. The first four show the way.</source>
        <translation>Toca una tecla con los clics, con soltura, como haces siempre. Los cuatro primeros marcan el camino.</translation>
    </message>
    <message>
        <source>One moment: waiting for the microphone …</source>
        <translation>Un momento: esperando al micrófono …</translation>
    </message>
    <message>
        <source>Press one key firmly between the clicks, once or twice each. Have the microphone near the keyboard, where it hears the speaker; with headphones, lay one ear piece on it.</source>
        <translation>Pulsa una tecla con firmeza entre los clics, una o dos veces cada vez. Pon el micrófono cerca del teclado, donde oiga el altavoz; si usas auriculares, apoya un lado en él.</translation>
    </message>
    <message>
        <source>The tone grows. Stop it when it is loud enough.</source>
        <translation>El tono crece. Páralo cuando suene lo bastante fuerte.</translation>
    </message>
    <message>
        <source>{n} taps. A fifth at each end is left out of the mean.</source>
        <translation>{n} toques. Un quinto de cada extremo no entra en la media.</translation>
    </message>
    <message>
        <source>Far from the rest: {list} ms.</source>
        <translation>Lejos de los demás: {list} ms.</translation>
    </message>
</context>
<context>
    <name>ChoosePage</name>
    <message>
        <source>C</source>
        <translation>C</translation>
    </message>
    <message>
        <source>Rung, groove, drums, records, tempo, mode, and the place in the plan.</source>
        <translation>Peldaño, ritmo, batería, discos, tempo, modo y lugar en el plan.</translation>
    </message>
    <message>
        <source>Hide the choices</source>
        <translation>Ocultar opciones</translation>
    </message>
    <message>
        <source>More choices</source>
        <translation>Más opciones</translation>
    </message>
</context>
<context>
    <name>ConfusionPicture</name>
    <message>
        <source>It was {expected}, you said {given}: once.</source>
        <translation>Era {expected} y dijiste {given}: una vez.</translation>
    </message>
    <message>
        <source>It was {expected}, you said {given}: {n} times.</source>
        <translation>Era {expected} y dijiste {given}: {n} veces.</translation>
    </message>
    <message>
        <source>it was</source>
        <translation>era</translation>
    </message>
    <message>
        <source>you said</source>
        <translation>dijiste</translation>
    </message>
    <message>
        <source>times</source>
        <translation>veces</translation>
    </message>
</context>
<context>
    <name>Contents</name>
    <message>
        <source>Back to the help</source>
        <translation>Volver a la ayuda</translation>
    </message>
</context>
<context>
    <name>CountSheet</name>
    <message>
        <source>Count sheet</source>
        <translation>Hoja de cuenta</translation>
    </message>
    <message>
        <source>An empty practice sheet.</source>
        <translation>Una hoja de práctica vacía.</translation>
    </message>
    <message>
        <source>A blank practice sheet: listen, the numbers appear after the trial.</source>
        <translation>Una hoja de práctica en blanco: escucha; los números aparecen después de la prueba.</translation>
    </message>
    <message>
        <source>Taps on the sheet: {taps}. Targets missed: {missed}.</source>
        <translation>Toques en la hoja: {taps}. Objetivos fallados: {missed}.</translation>
    </message>
    <message>
        <source>Bars: {bars}, in lines of {beats}.</source>
        <translation>Compases: {bars}, en líneas de {beats}.</translation>
    </message>
    <message>
        <source>Shifts in ms: {shifts}.</source>
        <translation>Desvíos en ms: {shifts}.</translation>
    </message>
    <message>
        <source>{words}: bar {bar}, beat {beat}.</source>
        <translation>{words}: compás {bar}, tiempo {beat}.</translation>
    </message>
</context>
<context>
    <name>DayChart</name>
    <message>
        <source>other device</source>
        <translation>otro equipo</translation>
    </message>
    <message>
        <source>calibrated again</source>
        <translation>calibrado de nuevo</translation>
    </message>
</context>
<context>
    <name>DigitAnswer</name>
    <message>
        <source>A number from 1 to {highest}, typed in digits.</source>
        <translation>Un número del 1 al {highest}, en cifras.</translation>
    </message>
    <message>
        <source>Answer</source>
        <translation>Responder</translation>
    </message>
    <message>
        <source>Gives the answer. The Return key does the same.</source>
        <translation>Da la respuesta. La tecla Enter hace lo mismo.</translation>
    </message>
    <message>
        <source>Return</source>
        <translation>Enter</translation>
    </message>
    <message>
        <source>Erase</source>
        <translation>Borrar</translation>
    </message>
    <message>
        <source>Takes the last digit away. Backspace does the same.</source>
        <translation>Quita la última cifra. La tecla de retroceso hace lo mismo.</translation>
    </message>
    <message>
        <source>Types this digit.</source>
        <translation>Escribe esta cifra.</translation>
    </message>
</context>
<context>
    <name>DrillList</name>
    <message>
        <source>Drills</source>
        <translation>Ejercicios</translation>
    </message>
    <message>
        <source>Along the ladder. The up and down arrows choose, Return starts.</source>
        <translation>A lo largo de la escalera. Las flechas arriba y abajo eligen, Enter empieza.</translation>
    </message>
</context>
<context>
    <name>DrillsModel</name>
    <message>
        <source>Introduction</source>
        <translation>Presentación</translation>
    </message>
    <message>
        <source>Rung {n} of {all}</source>
        <translation>Peldaño {n} de {all}</translation>
    </message>
    <message>
        <source>not marked</source>
        <translation>no se evalúa</translation>
    </message>
    <message>
        <source>not yet</source>
        <translation>aún no</translation>
    </message>
    <message>
        <source>today</source>
        <translation>hoy</translation>
    </message>
    <message>
        <source>yesterday</source>
        <translation>ayer</translation>
    </message>
    <message>
        <source>{n} days ago</source>
        <translation>hace {n} días</translation>
    </message>
    <message>
        <source>{title}. {words} {rung}. Practised: {when}.</source>
        <translation>{title}. {words} {rung}. Última vez: {when}.</translation>
    </message>
</context>
<context>
    <name>Figures</name>
    <message>
        <source>met</source>
        <translation>acertados</translation>
    </message>
    <message>
        <source>How many of the targets had a tap of yours.</source>
        <translation>Cuántos de los objetivos recibieron un toque tuyo.</translation>
    </message>
    <message>
        <source>extra taps</source>
        <translation>de más</translation>
    </message>
    <message>
        <source>Taps that met no target.</source>
        <translation>Toques que no dieron en ningún objetivo.</translation>
    </message>
    <message>
        <source>spread</source>
        <translation>dispersión</translation>
    </message>
    <message>
        <source>How far your taps scatter around their own mean (standard deviation).</source>
        <translation>Cuánto se reparten tus toques alrededor de su propia media (desviación típica).</translation>
    </message>
    <message>
        <source>bias</source>
        <translation>sesgo</translation>
    </message>
    <message>
        <source>The mean of your taps, with its 95 % interval: minus is early, plus is late.</source>
        <translation>La media de tus toques, con su intervalo del 95 %: menos es adelanto, más es retraso.</translation>
    </message>
    <message>
        <source>Show it in figures</source>
        <translation>Ver en cifras</translation>
    </message>
    <message>
        <source>Spread, bias and uncertainty of these taps, in ms.</source>
        <translation>Dispersión, sesgo e incertidumbre de estos toques, en ms.</translation>
    </message>
    <message>
        <source>{hits} of {targets}</source>
        <translation>{hits} de {targets}</translation>
    </message>
    <message>
        <source>{ms:.0f} ms</source>
        <translation>{ms:.0f} ms</translation>
    </message>
    <message>
        <source>{ms} ± {half:.0f} ms</source>
        <translation>{ms} ± {half:.0f} ms</translation>
    </message>
</context>
<context>
    <name>FirstRun</name>
    <message>
        <source>The next page of the first run.</source>
        <translation>La página siguiente de la primera vez.</translation>
    </message>
</context>
<context>
    <name>Foot</name>
    <message>
        <source>Advised at most for leisure (WHO-ITU H.870): 80 dBA over 40 hours a week, for children 75 dBA. The program cannot know the level at your ear.</source>
        <translation>Máximo aconsejado para el ocio (OMS-UIT H.870): 80 dBA durante 40 horas a la semana; para niños, 75 dBA. El programa no puede saber el nivel que llega a tu oído.</translation>
    </message>
    <message>
        <source>Twenty minutes since you last rested. Rest for five.</source>
        <translation>Veinte minutos desde tu último descanso. Descansa cinco.</translation>
    </message>
    <message>
        <source>Listened this week: {n} min of trials</source>
        <translation>Escuchado esta semana: {n} min de pruebas</translation>
    </message>
</context>
<context>
    <name>Heading</name>
    <message>
        <source>Practise</source>
        <translation>Practicar</translation>
    </message>
    <message>
        <source>Listen, tap, and see how it went.</source>
        <translation>Escucha, toca y mira cómo ha ido.</translation>
    </message>
    <message>
        <source>Board</source>
        <translation>Pizarra</translation>
    </message>
    <message>
        <source>The tutor&apos;s board: count aloud with a phrase; nothing is marked.</source>
        <translation>La pizarra del tutor: contar en voz alta con una frase; no se evalúa nada.</translation>
    </message>
    <message>
        <source>Logbook</source>
        <translation>Cuaderno</translation>
    </message>
    <message>
        <source>What you have practised so far.</source>
        <translation>Lo que has practicado hasta ahora.</translation>
    </message>
    <message>
        <source>Records</source>
        <translation>Discos</translation>
    </message>
    <message>
        <source>Your own records: the count in them, confirmed by ear.</source>
        <translation>Tus propios discos: su cuenta, confirmada de oído.</translation>
    </message>
    <message>
        <source>Sound and taps</source>
        <translation>Audio y toques</translation>
    </message>
    <message>
        <source>Sound, microphone and MIDI; what your figures are good for; calibration.</source>
        <translation>Sonido, micrófono y MIDI; hasta dónde valen tus cifras; calibración.</translation>
    </message>
    <message>
        <source>Help</source>
        <translation>Ayuda</translation>
    </message>
    <message>
        <source>The words of the trade and your figures, with sound and picture. Key F1.</source>
        <translation>Las palabras del oficio y tus cifras, con sonido e imagen. Tecla F1.</translation>
    </message>
    <message>
        <source>Settings</source>
        <translation>Ajustes</translation>
    </message>
    <message>
        <source>Colours, text size, language, way of counting, your name. Control and comma.</source>
        <translation>Colores, tamaño del texto, idioma, forma de contar, tu nombre. Control y coma.</translation>
    </message>
    <message>
        <source>Volume</source>
        <translation>Volumen</translation>
    </message>
    <message>
        <source>Starts low. Turn it up only as far as you need; the program cannot know the level at your ear.</source>
        <translation>Empieza bajo. Súbelo solo lo que necesites; el programa no puede saber el nivel que llega a tu oído.</translation>
    </message>
</context>
<context>
    <name>HearingWords</name>
    <message>
        <source>Your ears</source>
        <translation>Tus oídos</translation>
    </message>
    <message>
        <source>Your hands</source>
        <translation>Tus manos</translation>
    </message>
    <message>
        <source>A program cannot know how loud it is at your ear. For leisure, WHO and ITU (H.870) advise at most 80 dBA for 40 hours a week, for children 75 dBA. Every 3 dB more halves the time. If you must raise your voice above it, it is too loud.</source>
        <translation>Un programa no puede saber a qué volumen llega el sonido a tu oído. Para el ocio, la OMS y la UIT (H.870) aconsejan como máximo 80 dBA durante 40 horas a la semana; para niños, 75 dBA. Cada 3 dB más, la mitad de tiempo. Si tienes que alzar la voz para que te oigan, está demasiado alto.</translation>
    </message>
    <message>
        <source>Ringing ears, dull hearing or pain: stop now. If it is still there the next day, see a doctor.</source>
        <translation>Pitidos, oído apagado o dolor: para ya. Si al día siguiente sigue igual, acude al médico.</translation>
    </message>
    <message>
        <source>Tap lightly, from the finger. Rest when hand or arm tires. Pain: stop now; if it comes back, see a doctor.</source>
        <translation>Toca suave, solo con el dedo. Descansa cuando se canse la mano o el brazo. Si duele, para ya; si se repite, acude al médico.</translation>
    </message>
    <message>
        <source>Where you are</source>
        <translation>Dónde estás</translation>
    </message>
    <message>
        <source>Never while driving or cycling, or wherever you need to hear what is around you.</source>
        <translation>Nunca al conducir o ir en bici, ni donde necesites oír lo que pasa a tu alrededor.</translation>
    </message>
</context>
<context>
    <name>HelpScreen</name>
    <message>
        <source>Pages</source>
        <translation>Páginas</translation>
    </message>
    <message>
        <source>The arrow keys go from page to page.</source>
        <translation>Las flechas pasan de una página a otra.</translation>
    </message>
    <message>
        <source>Page</source>
        <translation>Página</translation>
    </message>
    <message>
        <source>The arrow keys scroll it.</source>
        <translation>Las flechas la desplazan.</translation>
    </message>
    <message>
        <source>Hear it</source>
        <translation>Oír</translation>
    </message>
    <message>
        <source>H</source>
        <translation>H</translation>
    </message>
    <message>
        <source>Tap along: first words</source>
        <translation>Primeras palabras</translation>
    </message>
    <message>
        <source>The lesson of the first day: beat, bar, the one and the phrase, in two minutes.</source>
        <translation>La lección del primer día: tiempo, compás, el uno y la frase, en dos minutos.</translation>
    </message>
    <message>
        <source>T</source>
        <translation>T</translation>
    </message>
    <message>
        <source>Back to the question</source>
        <translation>Volver a la pregunta</translation>
    </message>
    <message>
        <source>Back to the result</source>
        <translation>Volver al resultado</translation>
    </message>
    <message>
        <source>The trial is as you left it. Escape does the same.</source>
        <translation>La prueba está como la dejaste. Escape hace lo mismo.</translation>
    </message>
    <message>
        <source>Esc</source>
        <translation>Esc</translation>
    </message>
    <message>
        <source>Stop</source>
        <translation>Parar</translation>
    </message>
    <message>
        <source>Sound and taps</source>
        <translation>Audio y toques</translation>
    </message>
    <message>
        <source>Where it is measured. Return does the same.</source>
        <translation>Donde se mide. La tecla Enter hace lo mismo.</translation>
    </message>
    <message>
        <source>Stops the sound. H or Escape does the same.</source>
        <translation>Para el sonido. H o Escape hacen lo mismo.</translation>
    </message>
    <message>
        <source>Plays the page&apos;s example. H or Return does the same.</source>
        <translation>Hace sonar el ejemplo de la página. H o Enter hacen lo mismo.</translation>
    </message>
</context>
<context>
    <name>LadderPicture</name>
    <message>
        <source>{drill}: not enough answers yet.</source>
        <translation>{drill}: aún no hay bastantes respuestas.</translation>
    </message>
    <message>
        <source>{drill}: rung {rung} of {rungs} (95 %: {low} to {high}), from {n} answers.</source>
        <translation>{drill}: peldaño {rung} de {rungs} (95 %: de {low} a {high}), con {n} respuestas.</translation>
    </message>
</context>
<context>
    <name>LessonScreen</name>
    <message>
        <source>Skip it</source>
        <translation>Saltar</translation>
    </message>
    <message>
        <source>Leaves the lesson. It can be opened from the help at any time.</source>
        <translation>Sale de la lección. Se puede abrir desde la ayuda cuando quieras.</translation>
    </message>
    <message>
        <source>S</source>
        <translation>S</translation>
    </message>
    <message>
        <source>Hear it again</source>
        <translation>Oír otra vez</translation>
    </message>
    <message>
        <source>Plays this part once more.</source>
        <translation>Toca esta parte otra vez.</translation>
    </message>
    <message>
        <source>H</source>
        <translation>H</translation>
    </message>
    <message>
        <source>Stop</source>
        <translation>Parar</translation>
    </message>
    <message>
        <source>Stops the sound.</source>
        <translation>Para el sonido.</translation>
    </message>
    <message>
        <source>Esc</source>
        <translation>Esc</translation>
    </message>
    <message>
        <source>The Return key does the same.</source>
        <translation>La tecla Enter hace lo mismo.</translation>
    </message>
    <message>
        <source>Return</source>
        <translation>Enter</translation>
    </message>
    <message>
        <source>{at} of {parts}</source>
        <translation>{at} de {parts}</translation>
    </message>
    <message>
        <source>Tap every beat, and count aloud with the voice.</source>
        <translation>Toca en cada tiempo y cuenta en voz alta con la voz.</translation>
    </message>
    <message>
        <source>Tap only the first beat of each phrase.</source>
        <translation>Toca solo el primer tiempo de cada frase.</translation>
    </message>
    <message>
        <source>Hear it again, or go on.</source>
        <translation>Óyelo otra vez o sigue adelante.</translation>
    </message>
    <message>
        <source>Next: {part}</source>
        <translation>Siguiente: {part}</translation>
    </message>
</context>
<context>
    <name>LinkedLabel</name>
    <message>
        <source>Underlined words open the help: Return or F1.</source>
        <translation>Las palabras subrayadas abren la ayuda: Enter o F1.</translation>
    </message>
</context>
<context>
    <name>LogbookPage</name>
    <message>
        <source>The latest trials: a double click opens one</source>
        <translation>Las últimas pruebas: un doble clic abre una</translation>
    </message>
    <message>
        <source>Earlier trials</source>
        <translation>Pruebas anteriores</translation>
    </message>
    <message>
        <source>Lists trials before these as well, so that they can be opened.</source>
        <translation>Muestra también las pruebas anteriores a estas, para poder abrirlas.</translation>
    </message>
</context>
<context>
    <name>LogbookScreen</name>
    <message>
        <source>Learner</source>
        <translation>Alumno</translation>
    </message>
    <message>
        <source>Whose practice is shown.</source>
        <translation>De quién es la práctica que se muestra.</translation>
    </message>
    <message>
        <source>Drill</source>
        <translation>Ejercicio</translation>
    </message>
    <message>
        <source>Which drill is shown.</source>
        <translation>Qué ejercicio se muestra.</translation>
    </message>
    <message>
        <source>Tempo</source>
        <translation>Tempo</translation>
    </message>
    <message>
        <source>Which tempos are shown.</source>
        <translation>Qué tempos se muestran.</translation>
    </message>
    <message>
        <source>Report for the tutor…</source>
        <translation>Informe al tutor…</translation>
    </message>
    <message>
        <source>One page as PDF: what was practised, and what to work on.</source>
        <translation>Una página en PDF: qué se ha practicado y qué conviene trabajar.</translation>
    </message>
    <message>
        <source>Logbook</source>
        <translation>Cuaderno</translation>
    </message>
    <message>
        <source>Nothing is being saved at present.</source>
        <translation>Ahora mismo no se guarda nada.</translation>
    </message>
    <message>
        <source>Reading the logbook …</source>
        <translation>Leyendo el cuaderno …</translation>
    </message>
    <message>
        <source>Nothing here yet. Your first trial will be the first line.</source>
        <translation>Aquí no hay nada todavía. Tu primera prueba será la primera línea.</translation>
    </message>
    <message>
        <source>The box above shows the other learners of this logbook.</source>
        <translation>La casilla de arriba muestra a las demás personas de este cuaderno.</translation>
    </message>
    <message>
        <source>All drills</source>
        <translation>Todos los ejercicios</translation>
    </message>
    <message>
        <source>All tempos</source>
        <translation>Todos los tempos</translation>
    </message>
    <message>
        <source>Document</source>
        <translation>Documento</translation>
    </message>
    <message>
        <source>{path} is written.</source>
        <translation>{path} está guardado.</translation>
    </message>
    <message>
        <source>Writing the report …</source>
        <translation>Escribiendo el informe …</translation>
    </message>
</context>
<context>
    <name>LogbookWords</name>
    <message>
        <source>Invented: a simulated learner</source>
        <translation>Inventado: un alumno simulado</translation>
    </message>
    <message>
        <source>What to work on</source>
        <translation>Qué trabajar</translation>
    </message>
    <message>
        <source>{drill}: {what}</source>
        <translation>{drill}. {what}</translation>
    </message>
    <message>
        <source>Invented trials here: {n}</source>
        <translation>Pruebas inventadas aquí: {n}</translation>
    </message>
    <message>
        <source>Practise on: what can be said of this drill will stand here.</source>
        <translation>Sigue practicando: lo que se pueda decir de este ejercicio estará aquí.</translation>
    </message>
    <message>
        <source>Mistakes</source>
        <translation>Errores</translation>
    </message>
    <message>
        <source>The ladder</source>
        <translation>La escalera</translation>
    </message>
    <message>
        <source>Dot: the rung that suits you. Bar: your level with 95 % probability. A click shows its page.</source>
        <translation>Punto: el peldaño que te conviene. Barra: tu nivel con el 95 % de probabilidad. Un clic muestra su página.</translation>
    </message>
    <message>
        <source>What was taken for what</source>
        <translation>Qué se confundió con qué</translation>
    </message>
    <message>
        <source>Wrong answers of the last 200 trials, the most frequent first.</source>
        <translation>Respuestas erróneas de las últimas 200 pruebas, primero las más frecuentes.</translation>
    </message>
    <message>
        <source>Spread</source>
        <translation>Dispersión</translation>
    </message>
    <message>
        <source>Answers that were right, in %</source>
        <translation>Respuestas acertadas, en %</translation>
    </message>
    <message>
        <source>By the week, the last 60 at most; the line at each point is its 95 % interval.</source>
        <translation>Por semanas, las últimas 60 como mucho; la línea de cada punto es su intervalo del 95 %.</translation>
    </message>
    <message>
        <source>Early and late, in ms</source>
        <translation>Adelanto y retraso, en ms</translation>
    </message>
    <message>
        <source>Below the line early, above it late; only where the device is calibrated.</source>
        <translation>Bajo la línea, adelanto; sobre ella, retraso; solo con el equipo calibrado.</translation>
    </message>
    <message>
        <source>The rung practised</source>
        <translation>El peldaño practicado</translation>
    </message>
    <message>
        <source>By the week, the last 60 at most.</source>
        <translation>Por semanas, las últimas 60 como mucho.</translation>
    </message>
    <message>
        <source>Minutes of practice</source>
        <translation>Minutos de práctica</translation>
    </message>
    <message>
        <source>By the week, the last 60 at most; the filled part is listening.</source>
        <translation>Por semanas, las últimas 60 como mucho; la parte rellena es escucha.</translation>
    </message>
    <message>
        <source>Days of practice</source>
        <translation>Días de práctica</translation>
    </message>
    <message>
        <source>A stroke: a day on which you practised.</source>
        <translation>Un trazo: un día en que practicaste.</translation>
    </message>
    <message>
        <source>Where the count is lost</source>
        <translation>Dónde se pierde la cuenta</translation>
    </message>
    <message>
        <source>Share of the targets missed, in %, by the bar of the phrase; the last 200 trials.</source>
        <translation>Parte de los objetivos fallados, en %, según el compás de la frase; las últimas 200 pruebas.</translation>
    </message>
    <message>
        <source>Where your one fell</source>
        <translation>Dónde cayó tu uno</translation>
    </message>
    <message>
        <source>Share of your taps, in %, by the beat of the bar; the last 200 trials.</source>
        <translation>Parte de tus toques, en %, según el tiempo del compás; las últimas 200 pruebas.</translation>
    </message>
    <message>
        <source>In ms, day by day over your practice; below, the day and the number of the trial.</source>
        <translation>En ms, día a día de tu práctica; abajo, el día y el número de la prueba.</translation>
    </message>
    <message>
        <source>Without a sure change there is no curve.</source>
        <translation>Sin un cambio seguro no hay curva.</translation>
    </message>
    <message>
        <source>Line: the practice curve; dotted: its 95 % band, on the device used last.</source>
        <translation>Línea: la curva de práctica; punteada: su banda del 95 %, con el último equipo usado.</translation>
    </message>
</context>
<context>
    <name>LostChart</name>
    <message>
        <source>bar {n}</source>
        <translation>compás {n}</translation>
    </message>
    <message>
        <source>Bar {bar} of the phrase: {percent} % missed, {gone} of {n}.</source>
        <translation>Compás {bar} de la frase: {percent} % fallado, {gone} de {n}.</translation>
    </message>
</context>
<context>
    <name>Minutes</name>
    <message>
        <source>Shorter</source>
        <translation>Menos</translation>
    </message>
    <message>
        <source>Five minutes fewer. The minus key does the same.</source>
        <translation>Cinco minutos menos. La tecla menos hace lo mismo.</translation>
    </message>
    <message>
        <source>Longer</source>
        <translation>Más</translation>
    </message>
    <message>
        <source>Five minutes more. The plus key does the same.</source>
        <translation>Cinco minutos más. La tecla más hace lo mismo.</translation>
    </message>
    <message>
        <source>{n} minutes</source>
        <translation>{n} minutos</translation>
    </message>
    <message>
        <source>{n} minutes today</source>
        <translation>{n} minutos hoy</translation>
    </message>
</context>
<context>
    <name>MinutesChart</name>
    <message>
        <source>Week from {day}: {minutes} (listening: {listening} min); {trials}.</source>
        <translation>Semana del {day}: {minutes} (escucha: {listening} min); {trials}.</translation>
    </message>
</context>
<context>
    <name>Offers</name>
    <message>
        <source>Answers</source>
        <translation>Respuestas</translation>
    </message>
    <message>
        <source>Press the digit beside an answer, or go to it with the arrow keys.</source>
        <translation>Pulsa la cifra que está junto a una respuesta, o llega a ella con las flechas.</translation>
    </message>
    <message>
        <source>Answers: {words}</source>
        <translation>Responde: {words}</translation>
    </message>
</context>
<context>
    <name>PageView</name>
    <message>
        <source>bias {bias} ± {half} ms, spread {spread} ms</source>
        <translation>sesgo {bias} ± {half} ms, dispersión {spread} ms</translation>
    </message>
    <message>
        <source>, uncertainty {ms} ms</source>
        <translation>, incertidumbre {ms} ms</translation>
    </message>
</context>
<context>
    <name>PictureCard</name>
    <message>
        <source>Save…</source>
        <translation>Guardar…</translation>
    </message>
    <message>
        <source>Save this picture as a PNG or SVG file.</source>
        <translation>Guarda esta imagen como archivo PNG o SVG.</translation>
    </message>
    <message>
        <source>Picture</source>
        <translation>Imagen</translation>
    </message>
    <message>
        <source>Drawing</source>
        <translation>Dibujo</translation>
    </message>
    <message>
        <source>Save the picture</source>
        <translation>Guardar la imagen</translation>
    </message>
</context>
<context>
    <name>PlacementBar</name>
    <message>
        <source>Time used</source>
        <translation>Tiempo usado</translation>
    </message>
    <message>
        <source>Looking where you begin: choosing the first trial …</source>
        <translation>Viendo dónde empiezas: eligiendo la primera prueba …</translation>
    </message>
    <message>
        <source>Looking where you begin. Trial {n}.</source>
        <translation>Viendo dónde empiezas. Prueba {n}.</translation>
    </message>
    <message>
        <source>Looking where you begin. Trial {n}: {asks}</source>
        <translation>Viendo dónde empiezas. Prueba {n}: {asks}</translation>
    </message>
    <message>
        <source>Looking where you begin. That was trial {n}. Next: {asks}</source>
        <translation>Viendo dónde empiezas. Esa fue la prueba {n}. Siguiente: {asks}</translation>
    </message>
    <message>
        <source>{m}:{s:02d} of at most {all}:00</source>
        <translation>{m}:{s:02d} de {all}:00 como máximo</translation>
    </message>
    <message>
        <source>Close</source>
        <translation>Cerrar</translation>
    </message>
    <message>
        <source>Stop here</source>
        <translation>Terminar</translation>
    </message>
    <message>
        <source>Ends it; what you have answered counts.</source>
        <translation>Lo termina; lo que ya respondiste cuenta.</translation>
    </message>
    <message>
        <source>Nothing was answered, so you begin where the ladder begins.</source>
        <translation>No hubo respuestas, así que empiezas donde empieza la escalera.</translation>
    </message>
    <message>
        <source>You begin with {drill}, rung {rung} of {rungs}.</source>
        <translation>Empiezas con {drill}, peldaño {rung} de {rungs}.</translation>
    </message>
    <message>
        <source>Right in this drill: {right} of {n}.</source>
        <translation>Aciertos en este ejercicio: {right} de {n}.</translation>
    </message>
    <message>
        <source>Right in all: {right} of {n}.</source>
        <translation>Aciertos en total: {right} de {n}.</translation>
    </message>
    <message>
        <source>That is a first guess: practice corrects it.</source>
        <translation>Es una primera estimación: la práctica la corrige.</translation>
    </message>
</context>
<context>
    <name>PlanCard</name>
    <message>
        <source>Today&apos;s plan</source>
        <translation>El plan de hoy</translation>
    </message>
    <message>
        <source>1 minute</source>
        <translation>1 minuto</translation>
    </message>
    <message>
        <source>{n} minutes</source>
        <translation>{n} minutos</translation>
    </message>
    <message>
        <source>skipped</source>
        <translation>saltado</translation>
    </message>
    <message>
        <source>done</source>
        <translation>hecho</translation>
    </message>
    <message>
        <source>rung {n} of {rungs}</source>
        <translation>peldaño {n} de {rungs}</translation>
    </message>
    <message>
        <source>rung {n} of {rungs}, up from {before}</source>
        <translation>peldaño {n} de {rungs}, antes {before}</translation>
    </message>
    <message>
        <source>last time {right} of {asked}</source>
        <translation>la última vez {right} de {asked}</translation>
    </message>
    <message>
        <source>{right} of {asked} right</source>
        <translation>{right} de {asked} correctas</translation>
    </message>
    <message>
        <source>1 trial done</source>
        <translation>1 prueba hecha</translation>
    </message>
    <message>
        <source>{n} trials done</source>
        <translation>{n} pruebas hechas</translation>
    </message>
    <message>
        <source>now, {count} of {all} done</source>
        <translation>ahora; hechas: {count} de {all}</translation>
    </message>
    <message>
        <source>now</source>
        <translation>ahora</translation>
    </message>
</context>
<context>
    <name>PlanWords</name>
    <message>
        <source>That is enough for today.</source>
        <translation>Por hoy es suficiente.</translation>
    </message>
    <message>
        <source>Nothing more for today.</source>
        <translation>Nada más por hoy.</translation>
    </message>
    <message>
        <source>Today&apos;s practice</source>
        <translation>La práctica de hoy</translation>
    </message>
    <message>
        <source>One moment: choosing what helps you most today …</source>
        <translation>Un momento: eligiendo lo que más te ayuda hoy …</translation>
    </message>
    <message>
        <source>In this order. Skip what does not suit you today.</source>
        <translation>En este orden. Salta lo que hoy no te vaya bien.</translation>
    </message>
    <message>
        <source>One good or bad day may be luck; the logbook shows where you stand.</source>
        <translation>Un día bueno o malo puede ser suerte; el cuaderno muestra dónde estás.</translation>
    </message>
    <message>
        <source>What you learnt settles while you rest. What is due will be in the next plan.</source>
        <translation>Lo aprendido se asienta mientras descansas. Lo que toque estará en el próximo plan.</translation>
    </message>
    <message>
        <source>What you learnt settles while you rest. Tomorrow: {drills}.</source>
        <translation>Lo aprendido se asienta mientras descansas. Mañana: {drills}.</translation>
    </message>
    <message>
        <source>One moment</source>
        <translation>Un momento</translation>
    </message>
    <message>
        <source>Look at the logbook</source>
        <translation>Mirar el cuaderno</translation>
    </message>
    <message>
        <source>Continue: {drill}, trial {trial} of {trials}</source>
        <translation>Continuar: {drill}, prueba {trial} de {trials}</translation>
    </message>
    <message>
        <source>Start: {drill}</source>
        <translation>Empezar: {drill}</translation>
    </message>
    <message>
        <source>Finish for today</source>
        <translation>Terminar por hoy</translation>
    </message>
    <message>
        <source>Next: trial {trial} of {trials} in {drill}</source>
        <translation>Siguiente: {drill}, prueba {trial} de {trials}</translation>
    </message>
    <message>
        <source>Once more: {drill}</source>
        <translation>Una vez más: {drill}</translation>
    </message>
    <message>
        <source>In this order, a warm-up first. Skip what does not suit you today.</source>
        <translation>En este orden, primero un calentamiento. Salta lo que hoy no te vaya bien.</translation>
    </message>
    <message>
        <source>{at} of {items}: {drill} (trial {trial} of {trials})</source>
        <translation>{at} de {items}: {drill} (prueba {trial} de {trials})</translation>
    </message>
    <message>
        <source>Next: {drill}</source>
        <translation>Siguiente: {drill}</translation>
    </message>
    <message>
        <source>About a minute is left.</source>
        <translation>Queda alrededor de un minuto.</translation>
    </message>
    <message>
        <source>About {n} minutes are left.</source>
        <translation>Quedan unos {n} minutos.</translation>
    </message>
    <message>
        <source>You skipped what was planned. It will be there when you come back.</source>
        <translation>Has saltado lo previsto. Estará aquí cuando vuelvas.</translation>
    </message>
    <message>
        <source>You practised for about a minute: {drills}.</source>
        <translation>Has practicado alrededor de un minuto: {drills}.</translation>
    </message>
    <message>
        <source>You practised for about {n} minutes: {drills}.</source>
        <translation>Has practicado unos {n} minutos: {drills}.</translation>
    </message>
</context>
<context>
    <name>PractiseSteps</name>
    <message>
        <source>Starts the sound. The Return key does the same.</source>
        <translation>Arranca el sonido. La tecla Enter hace lo mismo.</translation>
    </message>
    <message>
        <source>Start</source>
        <translation>Empezar</translation>
    </message>
    <message>
        <source>Return</source>
        <translation>Enter</translation>
    </message>
    <message>
        <source>Breaks the trial off; nothing of it is kept. Escape does the same.</source>
        <translation>Interrumpe la prueba; no se guarda nada de ella. Escape hace lo mismo.</translation>
    </message>
    <message>
        <source>Stop</source>
        <translation>Parar</translation>
    </message>
    <message>
        <source>Esc</source>
        <translation>Esc</translation>
    </message>
    <message>
        <source>Hear it again</source>
        <translation>Oír otra vez</translation>
    </message>
    <message>
        <source>H</source>
        <translation>H</translation>
    </message>
    <message>
        <source>Answers that you have lost the count, so that there is no need to guess.</source>
        <translation>Responde que has perdido la cuenta, así no hace falta adivinar.</translation>
    </message>
    <message>
        <source>I lost the count</source>
        <translation>Perdí la cuenta</translation>
    </message>
    <message>
        <source>F2</source>
        <translation>F2</translation>
    </message>
    <message>
        <source>Opens Sound and taps, where the delay of the sound is measured.</source>
        <translation>Abre «Audio y toques», donde se mide el retardo del sonido.</translation>
    </message>
    <message>
        <source>Measure the delay</source>
        <translation>Medir el retardo</translation>
    </message>
    <message>
        <source>E</source>
        <translation>E</translation>
    </message>
    <message>
        <source>Today&apos;s plan</source>
        <translation>Plan de hoy</translation>
    </message>
    <message>
        <source>Shows what is planned for today.</source>
        <translation>Muestra lo previsto para hoy.</translation>
    </message>
    <message>
        <source>P</source>
        <translation>P</translation>
    </message>
    <message>
        <source>Choose freely</source>
        <translation>A mi gusto</translation>
    </message>
    <message>
        <source>F</source>
        <translation>F</translation>
    </message>
    <message>
        <source>Makes another plan for today, from how the first went.</source>
        <translation>Hace otro plan para hoy, según cómo ha ido el primero.</translation>
    </message>
    <message>
        <source>It counts after all</source>
        <translation>Sí que cuenta</translation>
    </message>
    <message>
        <source>That doesn&apos;t count</source>
        <translation>No cuenta</translation>
    </message>
    <message>
        <source>Lets this trial count again.</source>
        <translation>Hace que esta prueba vuelva a contar.</translation>
    </message>
    <message>
        <source>For a trial in which something disturbed you: it stays in the logbook and counts nowhere.</source>
        <translation>Para una prueba en la que algo te molestó: queda en el cuaderno y no cuenta en nada.</translation>
    </message>
    <message>
        <source>X</source>
        <translation>X</translation>
    </message>
    <message>
        <source>Skip it</source>
        <translation>Saltar</translation>
    </message>
    <message>
        <source>Another plan</source>
        <translation>Otro plan</translation>
    </message>
    <message>
        <source>Plays it once more, with your taps or with your answer. Key H.</source>
        <translation>Suena otra vez, con tus toques o con tu respuesta. Tecla H.</translation>
    </message>
    <message>
        <source>Hear it</source>
        <translation>Oír</translation>
    </message>
    <message>
        <source>Measure</source>
        <translation>Medir</translation>
    </message>
    <message>
        <source>Plan</source>
        <translation>Plan</translation>
    </message>
    <message>
        <source>Choose drill, rung, what plays, tempo and mode by hand.</source>
        <translation>Elige a mano ejercicio, peldaño, qué suena, tempo y modo.</translation>
    </message>
    <message>
        <source>Choose</source>
        <translation>Elegir</translation>
    </message>
    <message>
        <source>M</source>
        <translation>M</translation>
    </message>
    <message>
        <source>New plan</source>
        <translation>Otro plan</translation>
    </message>
    <message>
        <source>Ends the program; everything is kept.</source>
        <translation>Termina el programa; todo queda guardado.</translation>
    </message>
    <message>
        <source>Close Tallybar</source>
        <translation>Cerrar</translation>
    </message>
    <message>
        <source>Q</source>
        <translation>Q</translation>
    </message>
    <message>
        <source>Close</source>
        <translation>Salir</translation>
    </message>
    <message>
        <source>Lost it</source>
        <translation>Me perdí</translation>
    </message>
    <message>
        <source>I can&apos;t tell</source>
        <translation>No lo noto</translation>
    </message>
    <message>
        <source>Can&apos;t tell</source>
        <translation>No lo sé</translation>
    </message>
    <message>
        <source>Answers that you cannot tell, so that there is no need to guess.</source>
        <translation>Responde que no lo notas, para no tener que adivinar.</translation>
    </message>
    <message>
        <source>Count it</source>
        <translation>Cuenta</translation>
    </message>
    <message>
        <source>Don&apos;t count</source>
        <translation>No cuenta</translation>
    </message>
    <message>
        <source>Skip the rest of it</source>
        <translation>Saltar el resto</translation>
    </message>
    <message>
        <source>Skip</source>
        <translation>Saltar</translation>
    </message>
    <message>
        <source>Goes on to what comes next in the plan; what is skipped comes back another day.</source>
        <translation>Pasa a lo siguiente del plan; lo que se salta vuelve otro día.</translation>
    </message>
    <message>
        <source>S</source>
        <translation>S</translation>
    </message>
    <message>
        <source>Ends the sound and asks. The Return key does the same.</source>
        <translation>Termina el sonido y pregunta. La tecla Enter hace lo mismo.</translation>
    </message>
    <message>
        <source>Opens the logbook. The Return key does the same.</source>
        <translation>Abre el cuaderno. La tecla Enter hace lo mismo.</translation>
    </message>
    <message>
        <source>Goes back to today&apos;s plan. The Return key does the same.</source>
        <translation>Vuelve al plan de hoy. La tecla Enter hace lo mismo.</translation>
    </message>
    <message>
        <source>Key {key}.</source>
        <translation>Tecla {key}.</translation>
    </message>
</context>
<context>
    <name>PractiseWords</name>
    <message>
        <source>Space or any letter, a click or a touch on the sheet.</source>
        <translation>Espacio o cualquier letra, un clic o un toque en la hoja.</translation>
    </message>
    <message>
        <source>Introduction: {what}.</source>
        <translation>Presentación: {what}.</translation>
    </message>
    <message>
        <source>Rung {n}: {what}.</source>
        <translation>Peldaño {n}: {what}.</translation>
    </message>
    <message>
        <source>Choose a drill</source>
        <translation>Elige un ejercicio</translation>
    </message>
    <message>
        <source>On: {title}</source>
        <translation>Con: {title}</translation>
    </message>
    <message>
        <source>On: {title}, and {other}, brought to its tempo</source>
        <translation>Con: {title} y {other}, llevado a su tempo</translation>
    </message>
    <message>
        <source>One moment: the sound is being made …</source>
        <translation>Un momento: se está preparando el sonido …</translation>
    </message>
    <message>
        <source>That is what you said. It was the introduction, which is not marked.</source>
        <translation>Es lo que dijiste. Era la presentación del ejercicio, que no se califica.</translation>
    </message>
    <message>
        <source>It was the introduction, which is not marked.</source>
        <translation>Era la presentación del ejercicio, que no se califica.</translation>
    </message>
    <message>
        <source>Next: {asks}</source>
        <translation>Siguiente: {asks}</translation>
    </message>
    <message>
        <source>Only something to look at: the line follows nothing of the sound.</source>
        <translation>Solo es algo que mirar: la línea no sigue nada del sonido.</translation>
    </message>
    <message>
        <source>Answer</source>
        <translation>Responder</translation>
    </message>
    <message>
        <source>Logbook</source>
        <translation>Cuaderno</translation>
    </message>
    <message>
        <source>Finish</source>
        <translation>Terminar</translation>
    </message>
    <message>
        <source>Next</source>
        <translation>Siguiente</translation>
    </message>
    <message>
        <source>Answer now</source>
        <translation>Responder</translation>
    </message>
    <message>
        <source>Start</source>
        <translation>Empezar</translation>
    </message>
    <message>
        <source>On a record of yours</source>
        <translation>Sobre un disco tuyo</translation>
    </message>
    <message>
        <source>Next trial</source>
        <translation>Siguiente</translation>
    </message>
</context>
<context>
    <name>QFileDialog</name>
    <message>
        <source>&amp;Look in:</source>
        <translation>&amp;Ver en:</translation>
    </message>
    <message>
        <source>Files of &amp;type:</source>
        <translation>&amp;Tipo de archivos:</translation>
    </message>
</context>
<context>
    <name>RecordFiles</name>
    <message>
        <source>Count from a file…</source>
        <translation>Cuenta de archivo…</translation>
    </message>
    <message>
        <source>Takes its count from a file of beats or a JAMS file. You can hear it then.</source>
        <translation>Toma su cuenta de un archivo de tiempos o de un archivo JAMS. Después puedes oírla.</translation>
    </message>
    <message>
        <source>O</source>
        <translation>O</translation>
    </message>
    <message>
        <source>Save as sound…</source>
        <translation>Guardar sonido…</translation>
    </message>
    <message>
        <source>The whole record as you hear it: with its count, or behind a drum intro. For your own use.</source>
        <translation>El disco entero tal como lo oyes: con su cuenta, o detrás de una intro de batería. Para tu uso propio.</translation>
    </message>
    <message>
        <source>S</source>
        <translation>S</translation>
    </message>
    <message>
        <source>Save for print…</source>
        <translation>Guardar PDF…</translation>
    </message>
    <message>
        <source>The sheet as PDF, on one page or two.</source>
        <translation>La hoja en PDF, en una página o dos.</translation>
    </message>
    <message>
        <source>Ctrl+P</source>
        <translation>Ctrl+P</translation>
    </message>
    <message>
        <source>Beats and JAMS files</source>
        <translation>Archivos de tiempos y JAMS</translation>
    </message>
    <message>
        <source>Sound</source>
        <translation>Sonido</translation>
    </message>
    <message>
        <source>Document</source>
        <translation>Documento</translation>
    </message>
    <message>
        <source>{path} is written.</source>
        <translation>{path} está escrito.</translation>
    </message>
</context>
<context>
    <name>RecordKeys</name>
    <message>
        <source>Key {key}.</source>
        <translation>Tecla {key}.</translation>
    </message>
    <message>
        <source>Space</source>
        <translation>Espacio</translation>
    </message>
    <message>
        <source>Hear it</source>
        <translation>Oír</translation>
    </message>
    <message>
        <source>Eight bars from the marked bar, with the count.</source>
        <translation>Ocho compases desde el compás marcado, con la cuenta.</translation>
    </message>
    <message>
        <source>One a beat earlier</source>
        <translation>«Uno» antes</translation>
    </message>
    <message>
        <source>The one is on the beat before.</source>
        <translation>El «uno» está en el tiempo anterior.</translation>
    </message>
    <message>
        <source>One a beat later</source>
        <translation>«Uno» después</translation>
    </message>
    <message>
        <source>The one is on the next beat.</source>
        <translation>El «uno» está en el tiempo siguiente.</translation>
    </message>
    <message>
        <source>Half a beat later</source>
        <translation>Medio después</translation>
    </message>
    <message>
        <source>The beats are half-way between the clicks.</source>
        <translation>Los tiempos están a medio camino entre los golpes.</translation>
    </message>
    <message>
        <source>Here is the one</source>
        <translation>Aquí el «uno»</translation>
    </message>
    <message>
        <source>Tap four ones while it sounds.</source>
        <translation>Toca cuatro «unos» mientras suena.</translation>
    </message>
    <message>
        <source>Half the tempo</source>
        <translation>Mitad de tempo</translation>
    </message>
    <message>
        <source>There are half as many beats.</source>
        <translation>Hay la mitad de tiempos.</translation>
    </message>
    <message>
        <source>Twice the tempo</source>
        <translation>Doble de tempo</translation>
    </message>
    <message>
        <source>There are twice as many beats.</source>
        <translation>Hay el doble de tiempos.</translation>
    </message>
    <message>
        <source>A phrase starts here</source>
        <translation>Empieza frase</translation>
    </message>
    <message>
        <source>On the marked bar, or on that which sounds.</source>
        <translation>En el compás marcado, o en el que suena.</translation>
    </message>
    <message>
        <source>Other phrases: of 4, 8 or 16 bars.</source>
        <translation>Otras frases: de 4, 8 o 16 compases.</translation>
    </message>
    <message>
        <source>The intro ends here</source>
        <translation>Acaba la intro</translation>
    </message>
    <message>
        <source>Before the marked bar, or that which sounds; a phrase begins there. On bar 1: no intro.</source>
        <translation>Antes del compás marcado, o del que suena; ahí empieza una frase. En el compás 1: sin intro.</translation>
    </message>
    <message>
        <source>Next change</source>
        <translation>Otro lugar</translation>
    </message>
    <message>
        <source>Hear the next place at which the music changes.</source>
        <translation>Oye el siguiente lugar en que la música cambia.</translation>
    </message>
    <message>
        <source>Change before</source>
        <translation>Lugar anterior</translation>
    </message>
    <message>
        <source>Hear the place before at which the music changes.</source>
        <translation>Oye el lugar anterior en que la música cambia.</translation>
    </message>
    <message>
        <source>The voice counts, or blocks click: a low block on the ones.</source>
        <translation>Cuenta la voz, o suenan bloques: el grave en cada «uno».</translation>
    </message>
    <message>
        <source>Drums in front of bar 1, at its tempo and on its beats: 4, 8 or 16 bars, or none.</source>
        <translation>Batería delante del compás 1, a su tempo y en sus tiempos: 4, 8 o 16 compases, o nada.</translation>
    </message>
    <message>
        <source>Take back</source>
        <translation>Deshacer</translation>
    </message>
    <message>
        <source>Takes back what was set last.</source>
        <translation>Deshace lo último.</translation>
    </message>
    <message>
        <source>Stop</source>
        <translation>Parar</translation>
    </message>
    <message>
        <source>Phrases of {n} bars</source>
        <translation>Frases de {n}</translation>
    </message>
    <message>
        <source>Count by clicks</source>
        <translation>Con bloques</translation>
    </message>
    <message>
        <source>Count by voice</source>
        <translation>Con la voz</translation>
    </message>
    <message>
        <source>Drum intro: {n} bars</source>
        <translation>Batería de {n}</translation>
    </message>
    <message>
        <source>Drum intro: none</source>
        <translation>Batería: ninguna</translation>
    </message>
</context>
<context>
    <name>RecordPage</name>
    <message>
        <source>If you have its beats in a file, you can give it a count all the same. Text with a line a beat will do (seconds, a tab, bar.beat), or a JAMS file. Its tempo must be steady there.</source>
        <translation>Si tienes sus tiempos en un archivo, puedes darle una cuenta de todos modos. Vale un texto con una línea por tiempo (segundos, tabulador, compás.tiempo) o un archivo JAMS. Su tempo debe ser constante.</translation>
    </message>
    <message>
        <source>By you</source>
        <translation>Por ti</translation>
    </message>
    <message>
        <source>By the tutor</source>
        <translation>Por el tutor</translation>
    </message>
    <message>
        <source>Confirmed</source>
        <translation>Confirmado</translation>
    </message>
    <message>
        <source>Who has heard it: it is said beside the results.</source>
        <translation>Quién lo ha oído: se dice junto a los resultados.</translation>
    </message>
    <message>
        <source>Back</source>
        <translation>Volver</translation>
    </message>
    <message>
        <source>Back to the list. What is not confirmed stays as it was.</source>
        <translation>Vuelve a la lista. Lo que no se confirma queda como estaba.</translation>
    </message>
    <message>
        <source>Esc</source>
        <translation>Esc</translation>
    </message>
    <message>
        <source>Confirm the count</source>
        <translation>Confirmar</translation>
    </message>
    <message>
        <source>The count is right: from now on drills use this record.</source>
        <translation>La cuenta está bien: desde ahora los ejercicios usan este disco.</translation>
    </message>
    <message>
        <source>Ctrl+G</source>
        <translation>Ctrl+G</translation>
    </message>
    <message>
        <source>Practise on it</source>
        <translation>Practicarlo</translation>
    </message>
    <message>
        <source>Choose a drill; this record plays in it.</source>
        <translation>Elige un ejercicio; este disco suena en él.</translation>
    </message>
    <message>
        <source>Four strokes a bar, the long stroke is the one. The heavier, the louder. Thick rule: the intro. At the left the phrase, and above it the number of the bar. A click or the arrow keys mark a bar.</source>
        <translation>Cuatro trazos por compás; el largo es el «uno». Cuanto más grueso, más fuerte. Línea gruesa: la intro. A la izquierda, la frase y, encima, el número del compás. Un clic o las flechas marcan un compás.</translation>
    </message>
    <message>
        <source>Return</source>
        <translation>Enter</translation>
    </message>
</context>
<context>
    <name>RecordSheet</name>
    <message>
        <source>Count sheet of the record</source>
        <translation>Hoja de cuenta del disco</translation>
    </message>
    <message>
        <source>A line of strokes for the bars, a paragraph for a phrase. The arrow keys mark another bar.</source>
        <translation>Una línea de trazos para los compases, un párrafo por frase. Las flechas marcan otro compás.</translation>
    </message>
    <message>
        <source>Intro</source>
        <translation>Intro</translation>
    </message>
</context>
<context>
    <name>RecordWords</name>
    <message>
        <source>{artist}: {title}</source>
        <translation>{artist}: {title}</translation>
    </message>
    <message>
        <source>{n} BPM</source>
        <translation>{n} BPM</translation>
    </message>
    <message>
        <source>no intro</source>
        <translation>sin intro</translation>
    </message>
    <message>
        <source>one bar</source>
        <translation>un compás</translation>
    </message>
    <message>
        <source>{n} bars</source>
        <translation>{n} compases</translation>
    </message>
    <message>
        <source>Not confirmed by ear yet</source>
        <translation>Aún sin confirmar de oído</translation>
    </message>
    <message>
        <source>Confirmed by you</source>
        <translation>Confirmado por ti</translation>
    </message>
    <message>
        <source>Confirmed by the tutor</source>
        <translation>Confirmado por el tutor</translation>
    </message>
    <message>
        <source>Unsure: hear it, and confirm</source>
        <translation>Inseguro: óyelo y confirma</translation>
    </message>
    <message>
        <source>Sure, not confirmed by ear yet</source>
        <translation>Seguro, aún sin confirmar de oído</translation>
    </message>
    <message>
        <source>The count is here, its file is not. {words}</source>
        <translation>La cuenta está; su archivo, no. {words}</translation>
    </message>
    <message>
        <source>File not found. {words}</source>
        <translation>Archivo no encontrado. {words}</translation>
    </message>
    <message>
        <source>Set right, not yet confirmed</source>
        <translation>Corregido, aún sin confirmar</translation>
    </message>
    <message>
        <source>Bar {bar} of {bars}  ·  phrase {phrase}, bar {in_phrase}  ·  {time}</source>
        <translation>Compás {bar} de {bars}  ·  frase {phrase}, compás {in_phrase}  ·  {time}</translation>
    </message>
    <message>
        <source>Drum intro: bar {bar} of {bars}, then the record</source>
        <translation>Intro de batería: compás {bar} de {bars}, después el disco</translation>
    </message>
</context>
<context>
    <name>RecordsModel</name>
    <message>
        <source>Record</source>
        <translation>Disco</translation>
    </message>
    <message>
        <source>Tempo</source>
        <translation>Tempo</translation>
    </message>
    <message>
        <source>Length</source>
        <translation>Duración</translation>
    </message>
    <message>
        <source>Intro</source>
        <translation>Intro</translation>
    </message>
    <message>
        <source>Count</source>
        <translation>Cuenta</translation>
    </message>
</context>
<context>
    <name>RecordsScreen</name>
    <message>
        <source>Add files…</source>
        <translation>Archivos…</translation>
    </message>
    <message>
        <source>Audio files and playlists. Control and O.</source>
        <translation>Archivos de audio y listas. Control y O.</translation>
    </message>
    <message>
        <source>Add a folder…</source>
        <translation>Carpeta…</translation>
    </message>
    <message>
        <source>All audio files of a folder and of those within. Control, Shift and O.</source>
        <translation>Todos los archivos de audio de una carpeta y de las que contiene. Control, Mayúsculas y O.</translation>
    </message>
    <message>
        <source>Search</source>
        <translation>Buscar</translation>
    </message>
    <message>
        <source>Words of title, artist or file name. Control and F.</source>
        <translation>Palabras del título, del artista o del archivo. Control y F.</translation>
    </message>
    <message>
        <source>By title</source>
        <translation>Por título</translation>
    </message>
    <message>
        <source>By tempo</source>
        <translation>Por tempo</translation>
    </message>
    <message>
        <source>By count</source>
        <translation>Por cuenta</translation>
    </message>
    <message>
        <source>Order</source>
        <translation>Orden</translation>
    </message>
    <message>
        <source>The order of the list. By count: what you are to hear comes first.</source>
        <translation>El orden de la lista. Por cuenta: primero lo que debes oír.</translation>
    </message>
    <message>
        <source>Unsure alone</source>
        <translation>Inseguros</translation>
    </message>
    <message>
        <source>Shows only records whose count is unsure: hear them, and confirm.</source>
        <translation>Muestra solo los discos de cuenta insegura: óyelos y confirma.</translation>
    </message>
    <message>
        <source>Put it back</source>
        <translation>Devolver</translation>
    </message>
    <message>
        <source>Puts the record back that you took out last.</source>
        <translation>Devuelve a la lista el último disco que quitaste.</translation>
    </message>
    <message>
        <source>Mark them again</source>
        <translation>Corregirlas</translation>
    </message>
    <message>
        <source>Marks your trials again, by the counts that were set right.</source>
        <translation>Corrige de nuevo tus pruebas según las cuentas corregidas.</translation>
    </message>
    <message>
        <source>Analysis</source>
        <translation>Análisis</translation>
    </message>
    <message>
        <source>Stop the analysis</source>
        <translation>Parar el análisis</translation>
    </message>
    <message>
        <source>What was found stays; the rest is not analysed.</source>
        <translation>Lo encontrado queda; el resto no se analiza.</translation>
    </message>
    <message>
        <source>Drop audio files or a folder here, or add them above. The program finds beats, ones and phrases, or says why it cannot. Your files are only read.</source>
        <translation>Suelta aquí archivos de audio o una carpeta, o añádelos arriba. El programa halla tiempos, «unos» y frases, o dice por qué no puede. Tus archivos solo se leen.</translation>
    </message>
    <message>
        <source>Hear and confirm</source>
        <translation>Oír y confirmar</translation>
    </message>
    <message>
        <source>Opens the record: its sheet, and its count by ear.</source>
        <translation>Abre el disco: su hoja y su cuenta, de oído.</translation>
    </message>
    <message>
        <source>Return</source>
        <translation>Enter</translation>
    </message>
    <message>
        <source>Practise on it</source>
        <translation>Practicarlo</translation>
    </message>
    <message>
        <source>Choose a drill; this record plays in it.</source>
        <translation>Elige un ejercicio; este disco suena en él.</translation>
    </message>
    <message>
        <source>Ctrl+G</source>
        <translation>Ctrl+G</translation>
    </message>
    <message>
        <source>Count it on the board</source>
        <translation>Contarlo en la pizarra</translation>
    </message>
    <message>
        <source>The board plays phrases of it, in a loop, with the count spoken over them.</source>
        <translation>La pizarra toca frases suyas en bucle, con la cuenta hablada encima.</translation>
    </message>
    <message>
        <source>Ctrl+B</source>
        <translation>Ctrl+B</translation>
    </message>
    <message>
        <source>Take out of the list</source>
        <translation>Quitar de la lista</translation>
    </message>
    <message>
        <source>Its file stays where it is.</source>
        <translation>Su archivo se queda donde está.</translation>
    </message>
    <message>
        <source>Del</source>
        <translation>Supr</translation>
    </message>
    <message>
        <source>Records</source>
        <translation>Discos</translation>
    </message>
    <message>
        <source>Audio files and playlists</source>
        <translation>Archivos de audio y listas</translation>
    </message>
    <message>
        <source>Reading the list …</source>
        <translation>Leyendo la lista …</translation>
    </message>
    <message>
        <source>No record in the list is like that.</source>
        <translation>Ningún disco de la lista es así.</translation>
    </message>
    <message>
        <source>Your trials are being marked again …</source>
        <translation>Tus pruebas se corrigen de nuevo …</translation>
    </message>
    <message>
        <source>Looking for audio files …</source>
        <translation>Buscando archivos de audio …</translation>
    </message>
    <message>
        <source>The analysis waits while a trial sounds.</source>
        <translation>El análisis espera mientras suena una prueba.</translation>
    </message>
    <message>
        <source>Analysis: {done} of {of} done. Now: {name}</source>
        <translation>Análisis: {done} de {of}. Ahora: {name}</translation>
    </message>
</context>
<context>
    <name>RecordsTable</name>
    <message>
        <source>Your records</source>
        <translation>Tus discos</translation>
    </message>
    <message>
        <source>One row a record. A double click, or Return, opens it; Delete takes it out of the list.</source>
        <translation>Una fila por disco. Doble clic o Intro lo abre; Supr lo quita de la lista.</translation>
    </message>
</context>
<context>
    <name>Report</name>
    <message>
        <source>Practice report: {learner}</source>
        <translation>Informe de práctica: {learner}</translation>
    </message>
    <message>
        <source>{first} to {last}</source>
        <translation>Del {first} al {last}</translation>
    </message>
    <message>
        <source>{days}: {trials}, {minutes} of practice.</source>
        <translation>{days}: {trials}, {minutes} de práctica.</translation>
    </message>
    <message>
        <source>The ladder</source>
        <translation>La escalera</translation>
    </message>
    <message>
        <source>Rungs of each drill. Dot: the rung that suits; bar: the level with 95 % probability.</source>
        <translation>Peldaños de cada ejercicio. Punto: el peldaño adecuado; barra: el nivel con un 95 % de probabilidad.</translation>
    </message>
    <message>
        <source>Minutes of practice by the week</source>
        <translation>Minutos de práctica por semanas</translation>
    </message>
    <message>
        <source>Filled: listening.</source>
        <translation>Relleno: escucha.</translation>
    </message>
    <message>
        <source>What to work on</source>
        <translation>Qué trabajar</translation>
    </message>
    <message>
        <source>Drill by drill</source>
        <translation>Ejercicio por ejercicio</translation>
    </message>
    <message>
        <source>Drill</source>
        <translation>Ejercicio</translation>
    </message>
    <message>
        <source>Trials</source>
        <translation>Pruebas</translation>
    </message>
    <message>
        <source>Last</source>
        <translation>Última</translation>
    </message>
    <message>
        <source>Rung</source>
        <translation>Peldaño</translation>
    </message>
    <message>
        <source>Right lately (95 %)</source>
        <translation>Aciertos recientes (95 %)</translation>
    </message>
    <message>
        <source>{percent} % smaller</source>
        <translation>{percent} % menor</translation>
    </message>
    <message>
        <source>{percent} % larger</source>
        <translation>{percent} % mayor</translation>
    </message>
    <message>
        <source>Made by Tallybar on {day}. Lately: the last four weeks of practice. Spread: standard deviation of the taps; its change is that at the same rung and tempo. Minutes: from one answer to the next, for each trial its sound and a minute more at most.</source>
        <translation>Hecho por Tallybar el {day}. Últimamente: las últimas cuatro semanas de práctica. Dispersión: desviación típica de los toques; su cambio es el que hay con el mismo peldaño y tempo. Minutos: de una respuesta a la siguiente, en cada prueba su sonido y un minuto más como mucho.</translation>
    </message>
    <message>
        <source>Early or late</source>
        <translation>Adelanto o retraso</translation>
    </message>
    <message>
        <source>too few yet</source>
        <translation>aún son pocas</translation>
    </message>
    <message>
        <source>{rung} of {rungs}</source>
        <translation>{rung} de {rungs}</translation>
    </message>
    <message>
        <source>{right} of {n}</source>
        <translation>{right} de {n}</translation>
    </message>
    <message>
        <source>{percent} % of {n} ({low} to {high})</source>
        <translation>{percent} % de {n} ({low} a {high})</translation>
    </message>
    <message>
        <source>Notes</source>
        <translation>Notas</translation>
    </message>
    <message>
        <source>INVENTED: a simulated learner, no person&apos;s practice</source>
        <translation>INVENTADO: un alumno simulado, no es la práctica de ninguna persona</translation>
    </message>
    <message>
        <source>INVENTED trials among these: {n}</source>
        <translation>Pruebas INVENTADAS entre estas: {n}</translation>
    </message>
    <message>
        <source>Change of the spread</source>
        <translation>Cambio de la dispersión</translation>
    </message>
    <message>
        <source>The computer was calibrated at the last practice: early and late are shown.</source>
        <translation>El ordenador estaba calibrado en la última práctica: se indican adelanto y retraso.</translation>
    </message>
    <message>
        <source>The computer was not calibrated at the last practice: early and late are not shown.</source>
        <translation>El ordenador no estaba calibrado en la última práctica: no se indican adelanto ni retraso.</translation>
    </message>
    <message>
        <source>no answers</source>
        <translation>sin respuestas</translation>
    </message>
    <message>
        <source>no clear change</source>
        <translation>sin cambio claro</translation>
    </message>
    <message>
        <source>neither</source>
        <translation>ninguno</translation>
    </message>
    <message>
        <source>{ms} ms early</source>
        <translation>{ms} ms de adelanto</translation>
    </message>
    <message>
        <source>{ms} ms late</source>
        <translation>{ms} ms de retraso</translation>
    </message>
</context>
<context>
    <name>RungChart</name>
    <message>
        <source>Week from {day}: rung {rung} on average.</source>
        <translation>Semana del {day}: peldaño {rung} de media.</translation>
    </message>
</context>
<context>
    <name>SettingsScreen</name>
    <message>
        <source>As the desktop</source>
        <translation>Del escritorio</translation>
    </message>
    <message>
        <source>The sheet</source>
        <translation>La hoja</translation>
    </message>
    <message>
        <source>Colours</source>
        <translation>Colores</translation>
    </message>
    <message>
        <source>Light</source>
        <translation>Claro</translation>
    </message>
    <message>
        <source>Dark ink on light paper.</source>
        <translation>Tinta oscura sobre papel claro.</translation>
    </message>
    <message>
        <source>Dark</source>
        <translation>Oscuro</translation>
    </message>
    <message>
        <source>Light ink on dark paper.</source>
        <translation>Tinta clara sobre papel oscuro.</translation>
    </message>
    <message>
        <source>Text size</source>
        <translation>Tamaño del texto</translation>
    </message>
    <message>
        <source>{n} %</source>
        <translation>{n} %</translation>
    </message>
    <message>
        <source>Movement</source>
        <translation>Movimiento</translation>
    </message>
    <message>
        <source>As usual</source>
        <translation>Completo</translation>
    </message>
    <message>
        <source>The mark on the sheet goes from beat to beat.</source>
        <translation>La marca de la hoja va de tiempo en tiempo.</translation>
    </message>
    <message>
        <source>Less</source>
        <translation>Menos</translation>
    </message>
    <message>
        <source>The mark on the sheet goes from bar to bar; no pen draws while you listen.</source>
        <translation>La marca de la hoja va de compás en compás; ninguna pluma dibuja mientras escuchas.</translation>
    </message>
    <message>
        <source>Language</source>
        <translation>Idioma</translation>
    </message>
    <message>
        <source>Practice</source>
        <translation>Práctica</translation>
    </message>
    <message>
        <source>Count</source>
        <translation>Cuenta</translation>
    </message>
    <message>
        <source>The number of the bar takes the place of the one.</source>
        <translation>El número del compás ocupa el lugar del uno.</translation>
    </message>
    <message>
        <source>The number of the bar, then letters.</source>
        <translation>El número del compás y después letras.</translation>
    </message>
    <message>
        <source>Voice</source>
        <translation>Voz</translation>
    </message>
    <message>
        <source>As the window</source>
        <translation>De la ventana</translation>
    </message>
    <message>
        <source>The voice counts in the language of the window.</source>
        <translation>La voz cuenta en el idioma de la ventana.</translation>
    </message>
    <message>
        <source> minutes</source>
        <translation> minutos</translation>
    </message>
    <message>
        <source>A day&apos;s practice</source>
        <translation>Práctica diaria</translation>
    </message>
    <message>
        <source>How long today&apos;s plan is.</source>
        <translation>Cuánto dura el plan de hoy.</translation>
    </message>
    <message>
        <source> % of a plan</source>
        <translation> % del plan</translation>
    </message>
    <message>
        <source>On your own records</source>
        <translation>Con tus discos</translation>
    </message>
    <message>
        <source>How much of a plan is on your own records; more of it on higher rungs.</source>
        <translation>Qué parte de un plan es con tus propios discos; más en los peldaños altos.</translation>
    </message>
    <message>
        <source>Your name</source>
        <translation>Tu nombre</translation>
    </message>
    <message>
        <source>Another name changes nothing else: trials, plan and choices stay.</source>
        <translation>Otro nombre no cambia nada más: quedan las pruebas, el plan y lo elegido.</translation>
    </message>
    <message>
        <source>Other learners</source>
        <translation>Otros alumnos</translation>
    </message>
    <message>
        <source>The program</source>
        <translation>El programa</translation>
    </message>
    <message>
        <source>Show the welcome again</source>
        <translation>Ver la bienvenida</translation>
    </message>
    <message>
        <source>The first steps, the level check, finding a level.</source>
        <translation>Los primeros pasos, la prueba de volumen, encontrar tu nivel.</translation>
    </message>
    <message>
        <source>Kept in {file}</source>
        <translation>Guardado en {file}</translation>
    </message>
    <message>
        <source>Settings</source>
        <translation>Ajustes</translation>
    </message>
</context>
<context>
    <name>ShareChart</name>
    <message>
        <source>Week from {day}: {percent} % of {answers} right (95 %: {low} to {high} %).</source>
        <translation>Semana del {day}: acertaste el {percent} % de {answers} (95 %: de {low} a {high} %).</translation>
    </message>
</context>
<context>
    <name>SheetLegend</name>
    <message>
        <source>High wood block: met its target. Low wood block: met none.</source>
        <translation>Caja china aguda: dio en su objetivo. Grave: no dio en ninguno.</translation>
    </message>
    <message>
        <source>Stroke: your press.</source>
        <translation>Trazo: tu pulsación.</translation>
    </message>
    <message>
        <source>Cross: met no target.</source>
        <translation>Cruz: no dio en ninguno.</translation>
    </message>
    <message>
        <source>Diamond: a one of the other record.</source>
        <translation>Rombo: un uno del otro disco.</translation>
    </message>
    <message>
        <source>Stroke: a tap of yours.</source>
        <translation>Trazo: un toque tuyo.</translation>
    </message>
    <message>
        <source>Ring: a target missed.</source>
        <translation>Círculo: un objetivo fallado.</translation>
    </message>
    <message>
        <source>Grey: did not count.</source>
        <translation>Gris: no contó.</translation>
    </message>
    <message>
        <source>Early is −, late is +, in ms.</source>
        <translation>Adelanto es −, retraso es +, en ms.</translation>
    </message>
    <message>
        <source>The mouse is not calibrated: measured from your own average, not from the beat.</source>
        <translation>El ratón no está calibrado: se mide desde tu propia media, no desde el pulso.</translation>
    </message>
    <message>
        <source>The mouse is not calibrated: early or late cannot be seen from so few taps.</source>
        <translation>El ratón no está calibrado: con tan pocos toques no se ve si hay adelanto o retraso.</translation>
    </message>
    <message>
        <source>Not calibrated: measured from your own average, not from the beat.</source>
        <translation>Sin calibrar: se mide desde tu propia media, no desde el pulso.</translation>
    </message>
    <message>
        <source>Not calibrated: early or late cannot be seen from so few taps.</source>
        <translation>Sin calibrar: con tan pocos toques no se ve si hay adelanto o retraso.</translation>
    </message>
</context>
<context>
    <name>SheetPrint</name>
    <message>
        <source>Count sheet: {title}</source>
        <translation>Hoja de cuenta: {title}</translation>
    </message>
    <message>
        <source>Intro</source>
        <translation>Intro</translation>
    </message>
    <message>
        <source>phrases of {n} bars</source>
        <translation>frases de {n} compases</translation>
    </message>
    <message>
        <source>no intro</source>
        <translation>sin intro</translation>
    </message>
    <message>
        <source>an intro of {bars}</source>
        <translation>una intro de {bars}</translation>
    </message>
    <message>
        <source>Four strokes a bar, the long stroke is the one; the heavier, the louder. Thick rule: intro. At the left the phrase, and above it the bar.</source>
        <translation>Cuatro trazos por compás; el largo es el «uno»; cuanto más grueso, más fuerte. Línea gruesa: intro. A la izquierda, la frase y, encima, el compás.</translation>
    </message>
</context>
<context>
    <name>SideView</name>
    <message>
        <source>Side task</source>
        <translation>Tarea secundaria</translation>
    </message>
    <message>
        <source>red, orange</source>
        <translation>rojo, naranja</translation>
    </message>
    <message>
        <source>blue, green</source>
        <translation>azul, verde</translation>
    </message>
    <message>
        <source>even</source>
        <translation>par</translation>
    </message>
    <message>
        <source>odd</source>
        <translation>impar</translation>
    </message>
    <message>
        <source>Nothing at the moment.</source>
        <translation>Nada por ahora.</translation>
    </message>
</context>
<context>
    <name>SoundCard</name>
    <message>
        <source>Sound</source>
        <translation>Sonido</translation>
    </message>
    <message>
        <source>Output</source>
        <translation>Salida</translation>
    </message>
    <message>
        <source>Where the drums are played.</source>
        <translation>Por dónde suena la batería.</translation>
    </message>
    <message>
        <source>Sample rate</source>
        <translation>Frecuencia de muestreo</translation>
    </message>
    <message>
        <source>As the output wants it; 48 000 Hz is usual.</source>
        <translation>La que pida la salida; lo habitual es 48 000 Hz.</translation>
    </message>
    <message>
        <source>Latency</source>
        <translation>Latencia</translation>
    </message>
    <message>
        <source>Microphone</source>
        <translation>Micrófono</translation>
    </message>
    <message>
        <source>Hears clicks and keys when you calibrate.</source>
        <translation>Oye los clics y las teclas cuando calibras.</translation>
    </message>
    <message>
        <source>MIDI inputs</source>
        <translation>Entradas MIDI</translation>
    </message>
    <message>
        <source>Test tone</source>
        <translation>Tono de prueba</translation>
    </message>
    <message>
        <source>Starts too quiet to hear and grows for three seconds. Key T.</source>
        <translation>Empieza tan suave que no se oye y crece durante tres segundos. Tecla T.</translation>
    </message>
    <message>
        <source>Claps and shouts count as taps</source>
        <translation>Palmas y voces son toques</translation>
    </message>
    <message>
        <source>The microphone listens while you practise. Use headphones, or the drums drown your claps.</source>
        <translation>El micrófono escucha mientras practicas. Usa auriculares, o la batería tapará tus palmas.</translation>
    </message>
    <message>
        <source>T</source>
        <translation>T</translation>
    </message>
    <message>
        <source>How far ahead sound is handed over. The delay may be long, as long as it is known.</source>
        <translation>Con cuánta antelación se entrega el sonido. El retardo puede ser largo, mientras sea conocido.</translation>
    </message>
    <message>
        <source>A soft tick with every tap</source>
        <translation>Un tic suave al tocar</translation>
    </message>
    <message>
        <source>Comes a moment after the tap. There is none while claps count or while you calibrate.</source>
        <translation>Llega un momento después del toque. No suena mientras cuentan las palmadas ni mientras calibras.</translation>
    </message>
    <message>
        <source>{n} Hz</source>
        <translation>{n} Hz</translation>
    </message>
    <message>
        <source>{n} ms</source>
        <translation>{n} ms</translation>
    </message>
    <message>
        <source>The computer&apos;s own choice</source>
        <translation>La elección del ordenador</translation>
    </message>
    <message>
        <source>none: {why}</source>
        <translation>ninguna: {why}</translation>
    </message>
    <message>
        <source>none; plug in an input at any time</source>
        <translation>ninguna; se puede conectar una en cualquier momento</translation>
    </message>
</context>
<context>
    <name>SoundScreen</name>
    <message>
        <source>Lists the devices again and opens the output.</source>
        <translation>Vuelve a listar los dispositivos y abre la salida.</translation>
    </message>
    <message>
        <source>Look again</source>
        <translation>Actualizar</translation>
    </message>
    <message>
        <source>Sound and taps</source>
        <translation>Audio y toques</translation>
    </message>
    <message>
        <source>{trouble} It is as before.</source>
        <translation>{trouble} Queda como estaba.</translation>
    </message>
</context>
<context>
    <name>SpreadChart</name>
    <message>
        <source>{day}: spread {ms} ms, from {trials}.</source>
        <translation>{day}: dispersión {ms} ms, en {trials}.</translation>
    </message>
</context>
<context>
    <name>TapPad</name>
    <message>
        <source>Any key; or click or touch here.</source>
        <translation>Cualquier tecla; o un clic o un toque aquí.</translation>
    </message>
    <message>
        <source>Taps still wanted: {n}</source>
        <translation>Toques que faltan: {n}</translation>
    </message>
</context>
<context>
    <name>TempoField</name>
    <message>
        <source> BPM</source>
        <translation> BPM</translation>
    </message>
    <message>
        <source>Tempo</source>
        <translation>Tempo</translation>
    </message>
    <message>
        <source>Beats a minute: type them, or use plus and minus.</source>
        <translation>Tiempos por minuto: escríbelos, o usa más y menos.</translation>
    </message>
</context>
<context>
    <name>TimingStrip</name>
    <message>
        <source>0 ms</source>
        <translation>0 ms</translation>
    </message>
    <message>
        <source>Timing strip</source>
        <translation>Tira de desvíos</translation>
    </message>
    <message>
        <source>your average</source>
        <translation>tu media</translation>
    </message>
    <message>
        <source>Taps: {n}, from {low:.0f} to {high:.0f} ms.</source>
        <translation>Toques: {n}, de {low:.0f} a {high:.0f} ms.</translation>
    </message>
    <message>
        <source>No taps to show.</source>
        <translation>No hay toques que mostrar.</translation>
    </message>
    <message>
        <source>early</source>
        <translation>adelanto</translation>
    </message>
    <message>
        <source>late</source>
        <translation>retraso</translation>
    </message>
    <message>
        <source>No tap met its target.</source>
        <translation>Ningún toque dio en su objetivo.</translation>
    </message>
</context>
<context>
    <name>TrialPage</name>
    <message>
        <source>Goes back to the logbook. Escape does the same.</source>
        <translation>Vuelve al cuaderno. Escape hace lo mismo.</translation>
    </message>
    <message>
        <source>Back</source>
        <translation>Volver</translation>
    </message>
    <message>
        <source>Esc</source>
        <translation>Esc</translation>
    </message>
    <message>
        <source>Plays this trial, with the taps in it. Key H.</source>
        <translation>Hace sonar esta prueba con sus toques. Tecla H.</translation>
    </message>
    <message>
        <source>Hear it</source>
        <translation>Oír</translation>
    </message>
    <message>
        <source>H</source>
        <translation>H</translation>
    </message>
    <message>
        <source>Stop</source>
        <translation>Parar</translation>
    </message>
    <message>
        <source>Ends the sound. Key H.</source>
        <translation>Termina el sonido. Tecla H.</translation>
    </message>
    <message>
        <source>Void: {why}</source>
        <translation>Nula: {why}</translation>
    </message>
    <message>
        <source>{learner}, {when}. {drill}, rung {rung}: {groove}, {tempo} BPM.</source>
        <translation>{learner}, {when}. {drill}, peldaño {rung}: {groove}, {tempo} BPM.</translation>
    </message>
    <message>
        <source>Simulated learner.</source>
        <translation>Alumno simulado.</translation>
    </message>
</context>
<context>
    <name>TrialsModel</name>
    <message>
        <source>When</source>
        <translation>Cuándo</translation>
    </message>
    <message>
        <source>Drill</source>
        <translation>Ejercicio</translation>
    </message>
    <message>
        <source>Rung</source>
        <translation>Peldaño</translation>
    </message>
    <message>
        <source>Played</source>
        <translation>Sonó</translation>
    </message>
    <message>
        <source>Met</source>
        <translation>Acertados</translation>
    </message>
    <message>
        <source>Spread</source>
        <translation>Dispersión</translation>
    </message>
    <message>
        <source>In words</source>
        <translation>En palabras</translation>
    </message>
    <message>
        <source>{groove}, {tempo} BPM</source>
        <translation>{groove}, {tempo} BPM</translation>
    </message>
    <message>
        <source>{ms} ms</source>
        <translation>{ms} ms</translation>
    </message>
    <message>
        <source>Void: {why}</source>
        <translation>Nula: {why}</translation>
    </message>
    <message>
        <source>Simulated learner. {words}</source>
        <translation>Alumno simulado. {words}</translation>
    </message>
</context>
<context>
    <name>TrialsTable</name>
    <message>
        <source>One row a trial, the newest first. A double click, or Return, opens it.</source>
        <translation>Una fila por prueba, la más reciente primero. Un doble clic o Intro la abre.</translation>
    </message>
    <message>
        <source>Trials</source>
        <translation>Pruebas</translation>
    </message>
</context>
<context>
    <name>VersionBox</name>
    <message>
        <source>{whose}: sounds now</source>
        <translation>{whose}: suena ahora</translation>
    </message>
</context>
<context>
    <name>WelcomeScreen</name>
    <message>
        <source>Language</source>
        <translation>Idioma</translation>
    </message>
    <message>
        <source>Skip the welcome</source>
        <translation>Saltar esto</translation>
    </message>
    <message>
        <source>Straight to practice. The settings bring it back.</source>
        <translation>Directo a practicar. En los ajustes se puede volver a ver.</translation>
    </message>
    <message>
        <source>Back</source>
        <translation>Atrás</translation>
    </message>
    <message>
        <source>The page before.</source>
        <translation>La página anterior.</translation>
    </message>
    <message>
        <source>Return</source>
        <translation>Enter</translation>
    </message>
    <message>
        <source>Esc</source>
        <translation>Esc</translation>
    </message>
    <message>
        <source>Your name</source>
        <translation>Tu nombre</translation>
    </message>
    <message>
        <source>It may stay empty. The settings can change it.</source>
        <translation>Puede quedar vacío. Se cambia en los ajustes.</translation>
    </message>
    <message>
        <source>Know where you are in the music</source>
        <translation>Saber en qué punto de la música estás</translation>
    </message>
    <message>
        <source>Tallybar plays drums; you tap, count or answer; it says how near you were and what to practise next.</source>
        <translation>Tallybar toca la batería; tú marcas, cuentas o respondes; te dice cuánto te acercaste y qué practicar después.</translation>
    </message>
    <message>
        <source>So that you hear, without thinking, the beat, the one, which bar of the phrase is passing and when the phrase will turn.</source>
        <translation>Para que oigas, sin pensar, el pulso, el uno, qué compás de la frase está pasando y cuándo va a cambiar la frase.</translation>
    </message>
    <message>
        <source>First two minutes for your ears and hands. Then you play.</source>
        <translation>Primero, dos minutos para tus oídos y tus manos. Después, a tocar.</translation>
    </message>
    <message>
        <source>Volume</source>
        <translation>Volumen</translation>
    </message>
    <message>
        <source>Arrow keys turn it up and down. Only as far as you hear every drum comfortably.</source>
        <translation>Las flechas lo suben y lo bajan. Solo hasta que oigas con comodidad todos los sonidos de la batería.</translation>
    </message>
    <message>
        <source>Stop the groove</source>
        <translation>Parar el ritmo</translation>
    </message>
    <message>
        <source>Plays the groove, or stops it.</source>
        <translation>Hace sonar el ritmo o lo para.</translation>
    </message>
    <message>
        <source>softer</source>
        <translation>más suave</translation>
    </message>
    <message>
        <source>louder</source>
        <translation>más fuerte</translation>
    </message>
    <message>
        <source>Start quietly</source>
        <translation>Empieza bajito</translation>
    </message>
    <message>
        <source>A quiet groove is playing. Turn it up only until you hear every drum comfortably.</source>
        <translation>Suena un ritmo suave. Súbelo solo hasta oír con comodidad todos los sonidos de la batería.</translation>
    </message>
    <message>
        <source>If you hear nothing at the middle of the slider, turn up the computer&apos;s own volume a little and begin again from the left.</source>
        <translation>Si a mitad del recorrido no oyes nada, sube un poco el volumen del propio ordenador y empieza otra vez desde la izquierda.</translation>
    </message>
    <message>
        <source>You do not see whether you are early or late: that would be a guess.</source>
        <translation>No ves si te adelantas o te retrasas: sería adivinar.</translation>
    </message>
    <message>
        <source>Every loudspeaker and every keyboard answers a little late. By how much has to be measured.</source>
        <translation>Todo altavoz y todo teclado responde con algo de retraso. Cuánto, hay que medirlo.</translation>
    </message>
    <message>
        <source>The delay of your taps</source>
        <translation>El retardo de tus toques</translation>
    </message>
    <message>
        <source>{n} of {all}</source>
        <translation>{n} de {all}</translation>
    </message>
    <message>
        <source>I hear every drum</source>
        <translation>Oigo cada golpe</translation>
    </message>
    <message>
        <source>Later</source>
        <translation>Luego</translation>
    </message>
    <message>
        <source>This is how the count is written here: one bar a line, its number where the one is.</source>
        <translation>Así se escribe aquí la cuenta: un compás por línea, con su número en el lugar del uno.</translation>
    </message>
    <message>
        <source>It takes half a minute. With wireless headphones it is worth doing now.</source>
        <translation>Lleva medio minuto. Con auriculares inalámbricos conviene hacerlo ahora.</translation>
    </message>
    <message>
        <source>Until then you see how steady your taps are, and which beat they were on.</source>
        <translation>Hasta entonces ves lo constantes que son tus toques y en qué tiempo caen.</translation>
    </message>
    <message>
        <source>A few trials first</source>
        <translation>Antes unas pruebas</translation>
    </message>
    <message>
        <source>Key F does the same.</source>
        <translation>La tecla F hace lo mismo.</translation>
    </message>
    <message>
        <source>Shall we begin at the beginning?</source>
        <translation>¿Empezamos por el principio?</translation>
    </message>
    <message>
        <source>You count along with the drums, hear which drum is which, and tap the beat.</source>
        <translation>Cuentas con la batería, oyes qué golpe es cuál y tocas el pulso.</translation>
    </message>
    <message>
        <source>From then on the trials follow your answers.</source>
        <translation>A partir de ahí, las pruebas siguen tus respuestas.</translation>
    </message>
    <message>
        <source>You count bars already? Short trials of several kinds show where to go on, in three minutes at most. You can stop at any time; what you have answered counts.</source>
        <translation>¿Ya cuentas compases? Unas pruebas cortas de varios tipos muestran por dónde seguir, en tres minutos como mucho. Puedes parar cuando quieras; lo respondido cuenta.</translation>
    </message>
    <message>
        <source>F</source>
        <translation>F</translation>
    </message>
    <message>
        <source>Next</source>
        <translation>Seguir</translation>
    </message>
    <message>
        <source>Yes, begin</source>
        <translation>Sí, empezar</translation>
    </message>
    <message>
        <source>Another name is a new name for you: your trials stay. The settings add another learner.</source>
        <translation>Otro nombre es un nombre nuevo para ti: tus pruebas se quedan. En los ajustes se añade otro alumno.</translation>
    </message>
    <message>
        <source>Play the groove</source>
        <translation>Poner el ritmo</translation>
    </message>
</context>
<context>
    <name>Who</name>
    <message>
        <source>Who practises</source>
        <translation>Quién practica</translation>
    </message>
    <message>
        <source>Each learner has a plan, a logbook and choices of their own.</source>
        <translation>Cada alumno tiene su plan, su cuaderno y lo que ha elegido.</translation>
    </message>
</context>
<context>
    <name>WishRow</name>
    <message>
        <source>Fitting rung</source>
        <translation>Peldaño adecuado</translation>
    </message>
    <message>
        <source>Any groove</source>
        <translation>Cualquier ritmo</translation>
    </message>
    <message>
        <source>Any drums</source>
        <translation>Cualquier batería</translation>
    </message>
    <message>
        <source>Own drums</source>
        <translation>Batería propia</translation>
    </message>
    <message>
        <source>Any of my records</source>
        <translation>Cualquier disco mío</translation>
    </message>
    <message>
        <source>Any tempo</source>
        <translation>Cualquier tempo</translation>
    </message>
    <message>
        <source> BPM</source>
        <translation> BPM</translation>
    </message>
    <message>
        <source>Rung</source>
        <translation>Peldaño</translation>
    </message>
    <message>
        <source>How hard: 1 is the easiest. The fitting rung follows your answers.</source>
        <translation>Cómo de difícil: el 1 es el más fácil. El adecuado sigue a tus respuestas.</translation>
    </message>
    <message>
        <source>Plays</source>
        <translation>Suena</translation>
    </message>
    <message>
        <source>The program&apos;s own drums, or your own records. The page Records chooses a single record.</source>
        <translation>La batería del programa o tus propios discos. La página Discos elige un solo disco.</translation>
    </message>
    <message>
        <source>With a side task</source>
        <translation>Con tarea</translation>
    </message>
    <message>
        <source>With a side task: a small task goes on beside the count. Bare: no help on the screen.</source>
        <translation>Con tarea: hay una pequeña tarea además de la cuenta. Sin ayuda: nada en la pantalla te ayuda.</translation>
    </message>
    <message>
        <source>When it is due</source>
        <translation>Cuando toque</translation>
    </message>
    <message>
        <source>Every day</source>
        <translation>Cada día</translation>
    </message>
    <message>
        <source>Never</source>
        <translation>Nunca</translation>
    </message>
    <message>
        <source>In today&apos;s plan</source>
        <translation>En el plan del día</translation>
    </message>
    <message>
        <source>When this drill is in the plan of a day.</source>
        <translation>Cuándo está este ejercicio en el plan de un día.</translation>
    </message>
    <message>
        <source>A record that is not there</source>
        <translation>Un disco que no está</translation>
    </message>
    <message>
        <source>This drill takes two of your records, whose tempos differ by 6 % at most.</source>
        <translation>Este ejercicio usa dos discos tuyos cuyos tempos difieren en un 6 % como mucho.</translation>
    </message>
    <message>
        <source>With a side task: a small task goes on beside the count. It shows how much attention the count takes.</source>
        <translation>Con tarea: hay una pequeña tarea además de la cuenta. Muestra cuánta atención pide la cuenta.</translation>
    </message>
    <message>
        <source>Bare: the same sound and the same question, without sheet and voice.</source>
        <translation>Sin ayuda: el mismo sonido y la misma pregunta, sin hoja y sin voz.</translation>
    </message>
    <message>
        <source>Groove</source>
        <translation>Ritmo</translation>
    </message>
    <message>
        <source>Which drum pattern plays; any, unless you choose.</source>
        <translation>Qué patrón de batería suena; cualquiera, si no eliges.</translation>
    </message>
    <message>
        <source>Drums</source>
        <translation>Batería</translation>
    </message>
    <message>
        <source>Which kind of drum kit plays; any, unless you choose.</source>
        <translation>Qué clase de batería suena; cualquiera, si no eliges.</translation>
    </message>
    <message>
        <source>Tempo</source>
        <translation>Tempo</translation>
    </message>
    <message>
        <source>Beats a minute; any that fits the rung, unless you choose.</source>
        <translation>Tiempos por minuto; cualquier tempo que vaya con el peldaño, si no eliges.</translation>
    </message>
    <message>
        <source>Plain</source>
        <translation>Normal</translation>
    </message>
    <message>
        <source>Bare</source>
        <translation>Sin ayuda</translation>
    </message>
    <message>
        <source>Mode</source>
        <translation>Modo</translation>
    </message>
    <message>
        <source>Plain: you listen and answer, with the help that the rung gives.</source>
        <translation>Normal: escuchas y respondes, con la ayuda que da el peldaño.</translation>
    </message>
    <message>
        <source>rung {n}</source>
        <translation>peldaño {n}</translation>
    </message>
    <message>
        <source>Chosen: {list}.</source>
        <translation>Elegido: {list}.</translation>
    </message>
    <message>
        <source>Rung, groove, tempo and drums as they come.</source>
        <translation>Peldaño, ritmo, tempo y batería, según toque.</translation>
    </message>
</context>
<context>
    <name>groove</name>
    <message>
        <source>Afro house</source>
        <translation>Afro house</translation>
    </message>
    <message>
        <source>Backbeat</source>
        <translation>Backbeat</translation>
    </message>
    <message>
        <source>Broken beat</source>
        <translation>Ritmo quebrado</translation>
    </message>
    <message>
        <source>Chopped break</source>
        <translation>Break troceado</translation>
    </message>
    <message>
        <source>Deep house</source>
        <translation>Deep house</translation>
    </message>
    <message>
        <source>Dembow</source>
        <translation>Dembow</translation>
    </message>
    <message>
        <source>Disco</source>
        <translation>Disco</translation>
    </message>
    <message>
        <source>Drum and bass</source>
        <translation>Drum and bass</translation>
    </message>
    <message>
        <source>Dry four</source>
        <translation>Cuatro seco</translation>
    </message>
    <message>
        <source>Electro</source>
        <translation>Electro</translation>
    </message>
    <message>
        <source>Five-four</source>
        <translation>Cinco por cuatro</translation>
    </message>
    <message>
        <source>Four on the floor</source>
        <translation>Bombo a negras</translation>
    </message>
    <message>
        <source>Funk</source>
        <translation>Funk</translation>
    </message>
    <message>
        <source>Garage bounce</source>
        <translation>Garage saltarín</translation>
    </message>
    <message>
        <source>Half step</source>
        <translation>Medio paso</translation>
    </message>
    <message>
        <source>Half time</source>
        <translation>A la mitad</translation>
    </message>
    <message>
        <source>Half-time drive</source>
        <translation>A la mitad, rápido</translation>
    </message>
    <message>
        <source>Hip-hop</source>
        <translation>Hip-hop</translation>
    </message>
    <message>
        <source>Latin house</source>
        <translation>House latino</translation>
    </message>
    <message>
        <source>Driving rock</source>
        <translation>Rock con empuje</translation>
    </message>
    <message>
        <source>Shuffle</source>
        <translation>Shuffle</translation>
    </message>
    <message>
        <source>Six-eight</source>
        <translation>Seis por ocho</translation>
    </message>
    <message>
        <source>Slow four</source>
        <translation>Cuatro lento</translation>
    </message>
    <message>
        <source>Soul</source>
        <translation>Soul</translation>
    </message>
    <message>
        <source>Straight eighths</source>
        <translation>Corcheas rectas</translation>
    </message>
    <message>
        <source>Techno</source>
        <translation>Techno</translation>
    </message>
    <message>
        <source>Half-time trap</source>
        <translation>Trap a la mitad</translation>
    </message>
    <message>
        <source>Two-step</source>
        <translation>Two-step</translation>
    </message>
    <message>
        <source>Waltz</source>
        <translation>Vals</translation>
    </message>
</context>
<context>
    <name>help</name>
    <message>
        <source>The end of all counting practice is your own music.</source>
        <translation>El fin de toda práctica de contar es tu propia música.</translation>
    </message>
    <message>
        <source>The program looks for beat, one and phrase in the files that you add, or says why it cannot: a file of their beats helps. Hear eight bars with the count, set right what is wrong by one key, and confirm. A drum intro in front leads into a record that has none. Once three records are confirmed, part of every plan is on them.</source>
        <translation>El programa busca el tiempo, el «uno» y la frase en tus archivos, o dice por qué no puede: sirve un archivo de tiempos. Oye ocho compases con la cuenta, corrige lo que falle con una tecla y confirma. Una intro de batería delante prepara la entrada de un disco que no la tiene. Con tres discos confirmados, una parte de cada plan es con ellos.</translation>
    </message>
    <message>
        <source>What you hear on the page Records: a low block on the one, a high block on the other beats.</source>
        <translation>Lo que oyes en la página Discos: un bloque grave en el «uno» y otro agudo en los demás tiempos.</translation>
    </message>
    <message>
        <source>Count</source>
        <translation>Cuenta</translation>
    </message>
    <message>
        <source>Low block</source>
        <translation>Bloque grave</translation>
    </message>
    <message>
        <source>High block</source>
        <translation>Bloque agudo</translation>
    </message>
    <message>
        <source>There is nothing to hear here: open a record of your own and listen.</source>
        <translation>Aquí no hay nada que oír: abre un disco tuyo y escucha.</translation>
    </message>
    <message>
        <source>Kick</source>
        <translation>Bombo</translation>
    </message>
    <message>
        <source>Snare</source>
        <translation>Caja</translation>
    </message>
    <message>
        <source>Hats</source>
        <translation>Charles</translation>
    </message>
    <message>
        <source>First record</source>
        <translation>Primer disco</translation>
    </message>
    <message>
        <source>Second record</source>
        <translation>Segundo disco</translation>
    </message>
    <message>
        <source>Intro, 4 bars</source>
        <translation>Intro, 4 compases</translation>
    </message>
    <message>
        <source>Outro, 4 bars</source>
        <translation>Outro, 4 compases</translation>
    </message>
    <message>
        <source>Song, 4 bars</source>
        <translation>Canción, 4 compases</translation>
    </message>
    <message>
        <source>A cowbell stands for each tap.</source>
        <translation>Un cencerro señala cada toque.</translation>
    </message>
    <message>
        <source>The beat is the steady pulse to which you nod your head.</source>
        <translation>El pulso es el latido constante con el que mueves la cabeza.</translation>
    </message>
    <message>
        <source>The bar</source>
        <translation>El compás</translation>
    </message>
    <message>
        <source>Four beats together make a bar.</source>
        <translation>Cuatro tiempos juntos forman un compás.</translation>
    </message>
    <message>
        <source>The one</source>
        <translation>El uno</translation>
    </message>
    <message>
        <source>The first beat of a bar is called the one, or the downbeat.</source>
        <translation>El primer tiempo del compás se llama el uno, o tiempo fuerte.</translation>
    </message>
    <message>
        <source>Things begin on it: bars, phrases, a new part of the song. A record that is started on another beat stays out of step with the first record, however well the beats meet. Listen for the crash of a cymbal: it often marks the one of a new phrase, as here after four bars.</source>
        <translation>Las cosas empiezan en él: los compases, las frases, una parte nueva de la canción. Un disco que arranca en otro tiempo no encaja con el primero, por bien que coincidan los tiempos. Busca el plato crash: a menudo marca el uno de una frase nueva, como aquí tras cuatro compases.</translation>
    </message>
    <message>
        <source>Drums and cymbals</source>
        <translation>Tambores y platos</translation>
    </message>
    <message>
        <source>Four on the floor</source>
        <translation>Bombo a negras</translation>
    </message>
    <message>
        <source>A kick on all four beats of the bar is called four on the floor.</source>
        <translation>Un bombo en los cuatro tiempos del compás se llama bombo a negras («four on the floor»).</translation>
    </message>
    <message>
        <source>House, disco and techno are built on it. The kick then gives you the beat, but not the one. The clap on two and four narrows it down: the one is a beat without a clap. To tell it from the three, wait for something that comes once a bar, or for the turn of the phrase.</source>
        <translation>El house, el disco y el techno se apoyan en él. El bombo te da entonces el pulso, pero no el uno. La palmada en el dos y el cuatro reduce las opciones: el uno es un tiempo sin palmada. Para distinguirlo del tres, espera algo que llegue una vez por compás, o el cambio de frase.</translation>
    </message>
    <message>
        <source>Clap</source>
        <translation>Palmada</translation>
    </message>
    <message>
        <source>Counting aloud</source>
        <translation>Contar en voz alta</translation>
    </message>
    <message>
        <source>Counting aloud keeps the bars in your head, and there are two ways to do it.</source>
        <translation>Contar en voz alta conserva los compases en la cabeza, y hay dos maneras de hacerlo.</translation>
    </message>
    <message>
        <source>The phrase</source>
        <translation>La frase</translation>
    </message>
    <message>
        <source>Bars come in groups, and such a group is called a phrase.</source>
        <translation>Los compases vienen en grupos, y un grupo así se llama frase.</translation>
    </message>
    <message>
        <source>The turn and the fill</source>
        <translation>El cambio y el relleno</translation>
    </message>
    <message>
        <source>Beats come at even distances, like steps when you walk. How many of them fit into a minute is the tempo, in beats per minute, BPM for short. In the example the kick, the lowest drum, falls on every beat. Nod along until your head goes by itself: everything else is counted in beats.</source>
        <translation>Los tiempos llegan a distancias iguales, como los pasos al caminar. Cuántos caben en un minuto es el tempo, en tiempos por minuto (en inglés, «beats per minute»): BPM. En el ejemplo, el bombo, el golpe más grave, cae en cada tiempo. Mueve la cabeza con él hasta que salga solo: todo lo demás se cuenta en tiempos.</translation>
    </message>
    <message>
        <source>Count 1 2 3 4 and begin again. To count bars, say the bar&apos;s number in place of the one: 1 2 3 4, 2 2 3 4, 3 2 3 4. On the sheet every bar is a line. Most music for dancing has four beats in a bar; a waltz has three.</source>
        <translation>Cuenta 1 2 3 4 y vuelve a empezar. Para contar compases, di el número del compás en lugar del uno: 1 2 3 4, 2 2 3 4, 3 2 3 4. En la hoja, cada compás es una línea. Casi toda la música de baile tiene cuatro tiempos por compás; el vals tiene tres.</translation>
    </message>
    <message>
        <source>Two drums show you where you are: the kick, low and dull, and the snare, high and short.</source>
        <translation>Dos golpes te orientan: el bombo, grave y sordo, y la caja, aguda y seca.</translation>
    </message>
    <message>
        <source>In the plainest pattern the kick falls on one and three; the snare, or a clap instead, on two and four, the backbeat. The beat before a snare is then the one or the three; the rest of the pattern shows which. The hats, two small cymbals on a stand, tick evenly all along. A crash, the large cymbal, often rings out where a new phrase begins.</source>
        <translation>En el patrón básico, el bombo cae en el uno y el tres; la caja o palmada, en el dos y el cuatro (el «backbeat»). El tiempo anterior a una caja es entonces el uno o el tres; el resto del patrón dice cuál. El charles, dos platos pequeños en un soporte, suena por igual todo el rato. Un crash, el plato grande, suele resonar donde empieza una frase nueva.</translation>
    </message>
    <message>
        <source>In numbers: 1 2 3 4, 2 2 3 4, 3 2 3 4. With letters: 1 A B C, 2 A B C, 3 A B C, so that a number is always the number of the bar. Both ways are right: take the way that comes more easily, and stay with it. You hear four bars of each.</source>
        <translation>Con números: 1 2 3 4, 2 2 3 4, 3 2 3 4. Con letras: 1 A B C, 2 A B C, 3 A B C, de modo que un número siempre es el número del compás. Las dos maneras valen: quédate con la que te salga mejor y no la cambies. Oyes cuatro compases de cada una.</translation>
    </message>
    <message>
        <source>Four bars make a short phrase, eight or sixteen bars a long phrase. Where a phrase ends, something changes: a drum comes or goes, a voice enters, the bass falls silent. You hear two phrases of four bars. Count with the voice, and notice how it begins again at 1.</source>
        <translation>Cuatro compases forman una frase corta; ocho o dieciséis, una larga. Donde termina una frase, algo cambia: un sonido de la batería entra o sale, aparece una voz, calla el bajo. Oyes dos frases de cuatro compases. Cuenta con la voz y fíjate en cómo vuelve a empezar por el 1.</translation>
    </message>
    <message>
        <source>The place where a phrase ends and the next begins is the turn, or turnaround.</source>
        <translation>Donde una frase termina y empieza la siguiente está el cambio, o giro.</translation>
    </message>
    <message>
        <source>A drummer announces it with a fill: at the end of the last bar, a run of strokes on the snare or the toms. Then a cymbal crashes on the one of the new phrase. Not every turn has a fill, and not every fill means a turn, so keep counting.</source>
        <translation>El batería lo anuncia con un relleno («fill»): al final del último compás, una serie de golpes en la caja o los toms. Después, un plato crash suena en el uno de la frase nueva. No todo cambio lleva relleno y no todo relleno anuncia un cambio, así que sigue contando.</translation>
    </message>
    <message>
        <source>Drums</source>
        <translation>Batería</translation>
    </message>
    <message>
        <source>pattern</source>
        <translation>patrón</translation>
    </message>
    <message>
        <source>fill</source>
        <translation>relleno</translation>
    </message>
    <message>
        <source>pattern, with something new</source>
        <translation>patrón, con algo nuevo</translation>
    </message>
    <message>
        <source>Crash</source>
        <translation>Crash</translation>
    </message>
    <message>
        <source>Before the turn</source>
        <translation>Antes del cambio</translation>
    </message>
    <message>
        <source>A turn that is counted towards comes as no surprise.</source>
        <translation>Un cambio hacia el que se cuenta no sorprende.</translation>
    </message>
    <message>
        <source>Say the number of every bar. In a phrase of eight four bars are left on the 5, two on the 7, one on the 8. That is the moment to reach for the next record: it starts in time, and not in answer to the change.</source>
        <translation>Di el número de cada compás. En una frase de ocho quedan cuatro compases en el 5, dos en el 7 y solo el último en el 8. Ese es el momento de ir a por el siguiente disco: empieza a tiempo, y no como respuesta al cambio.</translation>
    </message>
    <message>
        <source>Bars</source>
        <translation>Compases</translation>
    </message>
    <message>
        <source>Left</source>
        <translation>Quedan</translation>
    </message>
    <message>
        <source>4 bars left</source>
        <translation>quedan 4</translation>
    </message>
    <message>
        <source>2 bars left</source>
        <translation>quedan 2</translation>
    </message>
    <message>
        <source>Finding the count again</source>
        <translation>Recuperar la cuenta</translation>
    </message>
    <message>
        <source>A count that was lost is found again at the next turn.</source>
        <translation>La cuenta perdida se recupera en el siguiente cambio.</translation>
    </message>
    <message>
        <source>Find the beat with your foot, then the one: the crash falls on it, and bass or chords change there. The bar that follows the turn of the phrase is bar 1, so count on from it. In the example the drums stop and return in mid-phrase, on the two of bar 3.</source>
        <translation>Encuentra el tiempo con el pie y después el uno: ahí suena el crash y cambian el bajo o los acordes. El compás que sigue al cambio de frase es el compás 1, así que cuenta desde él. En el ejemplo la batería se corta y vuelve a mitad de frase, en el dos del compás 3.</translation>
    </message>
    <message>
        <source>silence</source>
        <translation>silencio</translation>
    </message>
    <message>
        <source>bar 1</source>
        <translation>compás 1</translation>
    </message>
    <message>
        <source>The intro</source>
        <translation>La intro</translation>
    </message>
    <message>
        <source>The intro is what comes before the song itself, often drums alone.</source>
        <translation>La intro es lo que viene antes de la canción en sí, a menudo solo batería.</translation>
    </message>
    <message>
        <source>It is made for mixing: there is a beat to hold on to, and nothing that could clash. It lasts whole phrases, often eight, sixteen or thirty-two bars. Measure it before you mix: count the bars until bass, chords or a voice come in. In the example that is after eight bars.</source>
        <translation>Está hecha para mezclar: hay un pulso al que agarrarse y nada que pueda chocar. Dura frases enteras, muchas veces ocho, dieciséis o treinta y dos compases. Mídela antes de mezclar: cuenta los compases hasta que entren el bajo, los acordes o una voz. En el ejemplo, eso ocurre después de ocho compases.</translation>
    </message>
    <message>
        <source>Intro, 8 bars</source>
        <translation>Intro, 8 compases</translation>
    </message>
    <message>
        <source>going on</source>
        <translation>sigue</translation>
    </message>
    <message>
        <source>Bass and chords</source>
        <translation>Bajo y acordes</translation>
    </message>
    <message>
        <source>The break and the drop</source>
        <translation>El break y el drop</translation>
    </message>
    <message>
        <source>In the break kick and snare fall silent; at the drop they come back.</source>
        <translation>En el break callan el bombo y la caja; en el drop vuelven.</translation>
    </message>
    <message>
        <source>A break lets the dancers breathe: chords, a voice or light drums go on alone. Count on through it, for the bars go by at the same pace. The drop falls on the one of a phrase, with kick and bass together. In the example the break has four bars.</source>
        <translation>El break deja respirar a la pista: siguen solos los acordes, una voz o una batería ligera. No dejes de contar, porque los compases pasan al mismo ritmo. El drop cae en el uno de una frase, con el bombo y el bajo a la vez. En el ejemplo, el break dura cuatro compases.</translation>
    </message>
    <message>
        <source>Kick and bass</source>
        <translation>Bombo y bajo</translation>
    </message>
    <message>
        <source>Drop, 4 bars</source>
        <translation>Drop, 4 compases</translation>
    </message>
    <message>
        <source>Voice and light drums</source>
        <translation>Voz y batería ligera</translation>
    </message>
    <message>
        <source>Break, 4 bars</source>
        <translation>Break, 4 compases</translation>
    </message>
    <message>
        <source>Half time, double time</source>
        <translation>A la mitad, al doble</translation>
    </message>
    <message>
        <source>The tempo stays, but kick and snare come half as often, or twice as often.</source>
        <translation>El tempo no cambia, pero el bombo y la caja llegan la mitad de veces, o el doble.</translation>
    </message>
    <message>
        <source>In half time there is one snare a bar, on the three, and the music seems to walk. In double time the snare falls between the beats, and the music seems to run. Hats and count go on as before, but the beat you move to halves or doubles. You hear two bars of each, in this order.</source>
        <translation>A la mitad hay una caja por compás, en el tres, y la música parece caminar. Al doble, la caja cae entre los tiempos, y la música parece correr. El charles y la cuenta siguen como antes, pero el pulso que bailas va a la mitad o al doble. Oyes dos compases de cada forma, en este orden.</translation>
    </message>
    <message>
        <source>At first</source>
        <translation>Al principio</translation>
    </message>
    <message>
        <source>Ahead or behind</source>
        <translation>Delante o detrás</translation>
    </message>
    <message>
        <source>Two records whose tempos differ a little part bar by bar.</source>
        <translation>Dos discos cuyos tempos difieren un poco se separan compás a compás.</translation>
    </message>
    <message>
        <source>They start together; then each kick becomes two strokes, close at first and further apart with every bar. If the second record&apos;s stroke comes first, it runs ahead, and its tempo is the higher. At 120 BPM a difference of 1 % makes 40 ms in eight beats. In the example the second record is 2 % faster.</source>
        <translation>Empiezan juntos; después cada bombo se vuelve dos golpes, cercanos al principio y más separados en cada compás. Si el golpe del segundo disco llega primero, se adelanta, y su tempo es el más alto. A 120 BPM una diferencia del 1 % son 40 ms en ocho tiempos. En el ejemplo el segundo disco es un 2 % más rápido.</translation>
    </message>
    <message>
        <source>Strokes are kicks; their distance is drawn three times as large.</source>
        <translation>Los golpes son bombos; su distancia está dibujada tres veces mayor.</translation>
    </message>
    <message>
        <source>Subtract the bars of the intro from the bars that are left until the turn: what remains is how long you wait. Here eight bars are left and the intro has four, so you wait for four and start on the one that follows. The new song then enters at the moment when the old song gives way.</source>
        <translation>Resta los compases de la intro de los compases que faltan para el cambio: lo que queda es lo que esperas. Aquí faltan ocho compases y la intro tiene cuatro, así que esperas cuatro y arrancas en el siguiente uno. La canción nueva entra entonces en el mismo momento en que la vieja le deja sitio.</translation>
    </message>
    <message>
        <source>Half time</source>
        <translation>A la mitad</translation>
    </message>
    <message>
        <source>Double time</source>
        <translation>Al doble</translation>
    </message>
    <message>
        <source>A filled dot is the kick, a ring the snare.</source>
        <translation>Un punto lleno es el bombo; un círculo, la caja.</translation>
    </message>
    <message>
        <source>Two records in line</source>
        <translation>Dos discos que cuadran</translation>
    </message>
    <message>
        <source>Two records are in line when their ones fall together.</source>
        <translation>Dos discos cuadran cuando sus unos caen juntos.</translation>
    </message>
    <message>
        <source>In line</source>
        <translation>Cuadran</translation>
    </message>
    <message>
        <source>The blend is the time for which two records are heard together.</source>
        <translation>La mezcla es el rato en que se oyen dos discos a la vez.</translation>
    </message>
    <message>
        <source>Beat and tempo</source>
        <translation>Pulso y tempo</translation>
    </message>
    <message>
        <source>The same tempo is not enough: the beats may meet while the one of a record meets the two of the other. Then kicks and snares get in each other&apos;s way, and the music stumbles. In the example the second record is a beat behind for four bars, then in line for four. Listen to how the drums suddenly agree.</source>
        <translation>No basta con el mismo tempo: los tiempos pueden coincidir mientras el uno de un disco cae sobre el dos del otro. Entonces los bombos y las cajas se estorban, y la música tropieza. En el ejemplo, el segundo disco va un tiempo por detrás durante cuatro compases y luego cuadra durante otros cuatro. Escucha cómo de pronto las baterías se ponen de acuerdo.</translation>
    </message>
    <message>
        <source>A beat behind</source>
        <translation>Un tiempo por detrás</translation>
    </message>
    <message>
        <source>Outro and blend</source>
        <translation>Outro y mezcla</translation>
    </message>
    <message>
        <source>The outro is how a record ends, mostly drums, and made for mixing as the intro is. The new record&apos;s intro plays while the old record&apos;s outro runs out, at one tempo and with the ones together. So nothing clashes. Then the new record stands alone, and the dancers never lost the beat.</source>
        <translation>La outro es como termina un disco, sobre todo batería, y está hecha para mezclar, igual que la intro. La intro del disco nuevo suena mientras se acaba la outro del anterior, al mismo tempo y con los unos juntos. Así nada choca. Después, el disco nuevo se queda solo, y la pista no ha perdido el pulso en ningún momento.</translation>
    </message>
    <message>
        <source>Landing on the turn</source>
        <translation>Encajar la intro</translation>
    </message>
    <message>
        <source>Start the second record so that its intro ends exactly where the first record turns.</source>
        <translation>Arranca el segundo disco de modo que su intro termine justo donde cambia el primero.</translation>
    </message>
    <message>
        <source>Drop, 8 bars</source>
        <translation>Drop, 8 compases</translation>
    </message>
    <message>
        <source>wait for 4 bars</source>
        <translation>esperar 4 compases</translation>
    </message>
    <message>
        <source>Reading the sheet</source>
        <translation>Leer la hoja</translation>
    </message>
    <message>
        <source>The sheet is the count written down: a bar on every line, a phrase in every block.</source>
        <translation>La hoja es la cuenta por escrito: un compás en cada línea, una frase en cada bloque.</translation>
    </message>
    <message>
        <source>Met, missed, extra</source>
        <translation>Acertado, fallado, de más</translation>
    </message>
    <message>
        <source>The same eight bars twice: two phrases of four bars, then a phrase of eight, broken in two.</source>
        <translation>Los mismos ocho compases dos veces: dos frases de cuatro, y luego una de ocho, partida en dos.</translation>
    </message>
    <message>
        <source>A target is met when a tap of yours falls near it.</source>
        <translation>Un objetivo está acertado cuando un toque tuyo cae cerca de él.</translation>
    </message>
    <message>
        <source>Early and late</source>
        <translation>Adelanto y retraso</translation>
    </message>
    <message>
        <source>A tap that meets its target is nearly always a little before or after it.</source>
        <translation>Un toque que acierta su objetivo casi siempre cae un poco antes o un poco después.</translation>
    </message>
    <message>
        <source>Before is early and carries a minus, after is late and carries a plus. The figures are thousandths of a second, ms for short. Shifts inside the shaded band, a fortieth of the beat, hardly anyone would notice. In the example two bars are tapped 60 ms early, then two bars 60 ms late.</source>
        <translation>Antes es adelanto y lleva un menos; después es retraso y lleva un más. Las cifras son milésimas de segundo: ms. Los desvíos dentro de la banda sombreada, un cuarentavo del tiempo, apenas los notaría nadie. En el ejemplo se tocan dos compases con 60 ms de adelanto y después dos con 60 ms de retraso.</translation>
    </message>
    <message>
        <source>One dot a tap, the first on top</source>
        <translation>Un punto por toque, el primero arriba</translation>
    </message>
    <message>
        <source>Why most people tap early</source>
        <translation>Por qué casi todos se adelantan</translation>
    </message>
    <message>
        <source>Most people tap some 30 to 50 ms before the beat, and do not notice it.</source>
        <translation>La mayoría se adelanta unos 30 a 50 ms al tiempo y no se da cuenta.</translation>
    </message>
    <message>
        <source>You do not wait for the sound and then answer it: you foresee the beat, and the finger goes ahead. To you it feels exactly right. Practised drummers come closer. It is no fault as long as it stays the same, for a steady shift can be allowed for.</source>
        <translation>No esperas el sonido para responderle: prevés el tiempo, y el dedo se adelanta. A ti te parece exacto. Los baterías con práctica se acercan más. No es un defecto mientras sea siempre igual, porque un desvío constante se puede tener en cuenta.</translation>
    </message>
    <message>
        <source>A usual beginner</source>
        <translation>Lo habitual al empezar</translation>
    </message>
    <message>
        <source>Bias</source>
        <translation>Sesgo</translation>
    </message>
    <message>
        <source>The bias is the mean of your taps: early or late on the whole.</source>
        <translation>El sesgo es la media de tus toques: adelanto o retraso en conjunto.</translation>
    </message>
    <message>
        <source>A little early on the whole</source>
        <translation>Algo adelantado en conjunto</translation>
    </message>
    <message>
        <source>Spread</source>
        <translation>Dispersión</translation>
    </message>
    <message>
        <source>The spread says how far your taps scatter around their own mean.</source>
        <translation>La dispersión dice cuánto se reparten tus toques alrededor de su propia media.</translation>
    </message>
    <message>
        <source>About two taps in three lie within one spread of the mean. A small spread means a steady hand, even where the taps are early. A delay of the computer moves all taps alike, so the spread is right even without calibration. You hear the steady hand first, then the unsteady hand.</source>
        <translation>Unos dos de cada tres toques están a menos de una dispersión de la media. Una dispersión pequeña significa una mano firme, aunque los toques se adelanten. El retardo del ordenador mueve todos los toques por igual, así que la dispersión es correcta incluso sin calibrar. Oyes primero la mano firme y después la insegura.</translation>
    </message>
    <message>
        <source>Sound and key presses need time on their way; with wireless headphones it can be a fifth of a second and more. Calibrate by tapping, and delay and habit go together: zero is then your own relaxed tap. Calibrate by microphone, and the delay alone goes: what remains is you. Until then your spread holds, but nothing is said of early and late.</source>
        <translation>El sonido y las pulsaciones tardan en llegar; con auriculares inalámbricos puede ser un quinto de segundo y más. Si calibras tocando, el retardo y la costumbre se van juntos: el cero es entonces tu propio toque relajado. Si calibras con micrófono, se va solo el retardo: lo que queda eres tú. Hasta entonces tu dispersión vale, pero no se dice nada de adelanto ni de retraso.</translation>
    </message>
    <message>
        <source>The ladder</source>
        <translation>La escalera</translation>
    </message>
    <message>
        <source>Every drill is a ladder of rungs, from easy to hard.</source>
        <translation>Cada ejercicio es una escalera de peldaños, de fácil a difícil.</translation>
    </message>
    <message>
        <source>The rung follows your answers, so that about four in five come out right. In the logbook a dot is the rung that suits you, a bar your level. Nineteen times out of twenty (95 %) the true level lies within the bar. With a side task you sort numbers or colours beside the count: what that costs you shows how much attention the count takes.</source>
        <translation>El peldaño sigue a tus respuestas, de modo que aciertas unas cuatro de cada cinco. En el cuaderno, un punto es el peldaño que te conviene y una barra, tu nivel. Diecinueve de cada veinte veces (95 %), el nivel verdadero está dentro de la barra. Con tarea secundaria, además de contar clasificas números o colores: lo que te cuesta muestra cuánta atención pide la cuenta.</translation>
    </message>
    <message>
        <source>Rungs</source>
        <translation>Peldaños</translation>
    </message>
    <message>
        <source>The rung that suits</source>
        <translation>El adecuado</translation>
    </message>
    <message>
        <source>Your level</source>
        <translation>Tu nivel</translation>
    </message>
    <message>
        <source>95 % sure</source>
        <translation>95 % de seguridad</translation>
    </message>
    <message>
        <source>There is nothing to hear here: the ladder is climbed in practice.</source>
        <translation>Aquí no hay nada que oír: la escalera se sube practicando.</translation>
    </message>
    <message>
        <source>Steady, but early</source>
        <translation>Firme, pero adelantado</translation>
    </message>
    <message>
        <source>Read a block downwards, then the block at its right; a block that begins with 5 continues its phrase. Your taps are strokes where they fell, with their shift in ms beside them. A ring is a missed target, a cross a tap that met none, a grey stroke a tap that does not count. What the answer was is marked in ink, and your answer beside it in broken lines.</source>
        <translation>Lee un bloque hacia abajo y luego el de su derecha; un bloque que empieza por 5 continúa su frase. Tus toques son trazos donde cayeron, con su desvío en ms al lado. Un anillo es un objetivo fallado, una cruz un toque que no acertó ninguno, un trazo gris un toque que no cuenta. Lo que era la respuesta está marcado en tinta, y tu respuesta al lado, en líneas discontinuas.</translation>
    </message>
    <message>
        <source>Near means within a third of a beat, and never more than a fifth of a second. Only “The turn of the phrase” is wider: a beat and a half at first, one beat on its last rungs. A target without a tap is missed and has a ring; a tap that met no target is extra and has a cross. Here the ones were asked for; three were met, a fourth was missed, and one tap fell on a three.</source>
        <translation>Cerca quiere decir a menos de un tercio de tiempo, y nunca a más de un quinto de segundo. Solo «El cambio de frase» da más margen: un tiempo y medio al principio, un tiempo en los últimos peldaños. Un objetivo sin toque está fallado y lleva un círculo; un toque que no dio en ninguno está de más y lleva una cruz. Aquí se pedían los unos; tres se acertaron, el cuarto se falló y un toque cayó en un tres.</translation>
    </message>
    <message>
        <source>Minus is early, plus is late; the line through the strip stands at the bias. The figure after ± says how far to trust it, and is the bar at the foot of the line. Nineteen times out of twenty the true mean lies within it. The more taps, the smaller it becomes.</source>
        <translation>Menos es adelanto, más es retraso; la línea que cruza la tira marca el sesgo. La cifra tras ± dice hasta dónde fiarse de él, y es la barra al pie de la línea. Diecinueve de cada veinte veces la media verdadera está dentro. Cuantos más toques, más pequeña es.</translation>
    </message>
    <message>
        <source>Right on the whole, but unsteady</source>
        <translation>En su sitio de media, pero irregular</translation>
    </message>
    <message>
        <source>Uncertainty</source>
        <translation>Incertidumbre</translation>
    </message>
    <message>
        <source>The program does not know everything exactly, and it says so.</source>
        <translation>El programa no lo sabe todo con exactitud, y lo dice.</translation>
    </message>
    <message>
        <source>The moment of a key press, and the moment at which a sound leaves the loudspeaker, are both measured, and no measurement is perfect. What remains open is drawn as a hatched band at the foot of the strip. A bias inside that band may be nothing at all.</source>
        <translation>Se miden el momento en que se pulsa una tecla y el momento en que sale el sonido, y ninguna medida es perfecta. Lo que queda abierto se dibuja como una banda rayada al pie de la tira. Un sesgo dentro de esa banda puede no ser nada.</translation>
    </message>
    <message>
        <source>A bias that may be nothing</source>
        <translation>Un sesgo que puede no ser nada</translation>
    </message>
    <message>
        <source>There is nothing to hear here: this page is about what cannot be heard.</source>
        <translation>Aquí no hay nada que oír: esta página trata de lo que no se oye.</translation>
    </message>
    <message>
        <source>Calibration</source>
        <translation>Calibración</translation>
    </message>
    <message>
        <source>Calibration takes the computer&apos;s own delay out of your figures.</source>
        <translation>La calibración quita de tus cifras el retardo propio del ordenador.</translation>
    </message>
    <message>
        <source>Before</source>
        <translation>Antes de calibrar</translation>
    </message>
    <message>
        <source>After: the same taps</source>
        <translation>Después: los mismos toques</translation>
    </message>
    <message>
        <source>There is nothing to hear here: the delay lies between your computer, your ear and your hand.</source>
        <translation>Aquí no hay nada que oír: el retardo está entre tu ordenador, tu oído y tu mano.</translation>
    </message>
    <message>
        <source>Your ears</source>
        <translation>Tus oídos</translation>
    </message>
    <message>
        <source>Start quietly, and turn it up only as far as you need.</source>
        <translation>Empieza bajito y súbelo solo lo que necesites.</translation>
    </message>
    <message>
        <source>There is nothing to hear here: quiet is what rests the ears.</source>
        <translation>Aquí no hay nada que oír: el silencio es lo que descansa los oídos.</translation>
    </message>
    <message>
        <source>Your hands</source>
        <translation>Tus manos</translation>
    </message>
    <message>
        <source>Tap lightly, and take a pause after twenty minutes.</source>
        <translation>Toca suave y haz una pausa a los veinte minutos.</translation>
    </message>
    <message>
        <source>No program can know how loud it is at your ear. For leisure, WHO and ITU (H.870) advise at most 80 dBA for 40 hours a week, for children 75 dBA. If your ears ring, feel dull or hurt, stop now; if it is still there the next day, see a doctor. And leave the headphones off in traffic: this is no exercise for driving.</source>
        <translation>Ningún programa puede saber a qué volumen llega el sonido a tu oído. Para el ocio, la OMS y la UIT (H.870) aconsejan como máximo 80 dBA durante 40 horas a la semana; para niños, 75 dBA. Si te pitan o te duelen los oídos o los notas apagados, para ya; si al día siguiente sigue igual, acude al médico. Y sin auriculares en medio del tráfico: esto no es un ejercicio para conducir.</translation>
    </message>
    <message>
        <source>Longest time a week at each level, for leisure (WHO-ITU H.870). For work NIOSH names 85 dBA, 8 hours a day.</source>
        <translation>Tiempo máximo por semana con cada nivel, para el ocio (OMS-UIT H.870). Para el trabajo, NIOSH indica 85 dBA, 8 horas al día.</translation>
    </message>
    <message>
        <source>40 hours</source>
        <translation>40 horas</translation>
    </message>
    <message>
        <source>20 hours</source>
        <translation>20 horas</translation>
    </message>
    <message>
        <source>10 hours</source>
        <translation>10 horas</translation>
    </message>
    <message>
        <source>5 hours</source>
        <translation>5 horas</translation>
    </message>
    <message>
        <source>2 hours 30 minutes</source>
        <translation>2 horas y 30 minutos</translation>
    </message>
    <message>
        <source>1 hour 15 minutes</source>
        <translation>1 hora y 15 minutos</translation>
    </message>
    <message>
        <source>A tap needs no force: the key only has to go down. Keep the wrist straight and the shoulder loose, and change hands now and then. Stop now if a finger, the wrist or the arm hurts or tingles; if it comes back, see a doctor.</source>
        <translation>Un toque no necesita fuerza: basta con que la tecla baje. Mantén la muñeca recta y el hombro suelto, y cambia de mano de vez en cuando. Para ya si un dedo, la muñeca o el brazo te duele o te hormiguea; si se repite, acude al médico.</translation>
    </message>
    <message>
        <source>Rest before a hand tires.</source>
        <translation>Descansa antes de que se canse la mano.</translation>
    </message>
    <message>
        <source>Minutes</source>
        <translation>Minutos</translation>
    </message>
    <message>
        <source>practise for 20</source>
        <translation>practicar 20</translation>
    </message>
    <message>
        <source>rest</source>
        <translation>pausa</translation>
    </message>
    <message>
        <source>There is nothing to hear here: let your hands rest while you read.</source>
        <translation>Aquí no hay nada que oír: deja descansar las manos mientras lees.</translation>
    </message>
    <message>
        <source>Counting</source>
        <translation>Contar</translation>
    </message>
    <message>
        <source>Phrases and parts</source>
        <translation>Frases y partes</translation>
    </message>
    <message>
        <source>Two records</source>
        <translation>Dos discos</translation>
    </message>
    <message>
        <source>Your own records</source>
        <translation>Tus propios discos</translation>
    </message>
    <message>
        <source>Your figures</source>
        <translation>Tus cifras</translation>
    </message>
    <message>
        <source>Looking after yourself</source>
        <translation>Cuidarte</translation>
    </message>
</context>
<context>
    <name>say</name>
    <message>
        <source>Measured, but not kept: {why}</source>
        <translation>Medido, pero no guardado: {why}</translation>
    </message>
    <message>
        <source>The microphone&apos;s recording has holes: the computer was too busy. Try again.</source>
        <translation>La grabación del micrófono tiene huecos: el ordenador estaba demasiado ocupado. Vuelve a intentarlo.</translation>
    </message>
    <message>
        <source>Tallybar {version}, Python {python}, {system}.</source>
        <translation>Tallybar {version}, Python {python}, {system}.</translation>
    </message>
    <message>
        <source>Sound output: {name}.</source>
        <translation>Salida de sonido: {name}.</translation>
    </message>
    <message>
        <source>Sound output: none. {why}</source>
        <translation>Salida de sonido: ninguna. {why}</translation>
    </message>
    <message>
        <source>The host reports {rate} samples a second and a latency of {latency} ms.</source>
        <translation>El sistema indica {rate} muestras por segundo y una latencia de {latency} ms.</translation>
    </message>
    <message>
        <source>Keys are stamped in whole milliseconds (SD {stamp} ms); a keyboard asked 125 times a second adds {polled} ms.</source>
        <translation>Las teclas se fechan en milisegundos enteros (desviación típica {stamp} ms); un teclado consultado 125 veces por segundo añade {polled} ms.</translation>
    </message>
    <message>
        <source>Microphones: {names}.</source>
        <translation>Micrófonos: {names}.</translation>
    </message>
    <message>
        <source>MIDI inputs: {names}.</source>
        <translation>Entradas MIDI: {names}.</translation>
    </message>
    <message>
        <source>MIDI inputs: none can be had, {why}.</source>
        <translation>Entradas MIDI: no puede haber ninguna, {why}.</translation>
    </message>
    <message>
        <source>A single tap is good to {ms} ms (about 95 %).</source>
        <translation>Un solo toque es exacto hasta {ms} ms (alrededor del 95 %).</translation>
    </message>
    <message>
        <source>none</source>
        <translation>ninguno</translation>
    </message>
    <message>
        <source>tapping</source>
        <translation>toques</translation>
    </message>
    <message>
        <source>microphone</source>
        <translation>micrófono</translation>
    </message>
    <message>
        <source>keys</source>
        <translation>teclas</translation>
    </message>
    <message>
        <source>mouse</source>
        <translation>ratón</translation>
    </message>
    <message>
        <source>touch</source>
        <translation>pantalla táctil</translation>
    </message>
    <message>
        <source>MIDI</source>
        <translation>MIDI</translation>
    </message>
    <message>
        <source>Verdict: {verdict}</source>
        <translation>Veredicto: {verdict}</translation>
    </message>
    <message>
        <source>Good to {ms} ms on this computer.</source>
        <translation>Exacto hasta {ms} ms en este ordenador.</translation>
    </message>
    <message>
        <source>Good to {ms} ms on this computer. Zero is your own relaxed tap.</source>
        <translation>Exacto hasta {ms} ms en este ordenador. El cero es tu propio toque relajado.</translation>
    </message>
    <message>
        <source>The sound stopped: {why}. Start it again when you like.</source>
        <translation>El sonido se paró: {why}. Arráncalo otra vez cuando quieras.</translation>
    </message>
    <message>
        <source>faster, with more drums between the beats and a bass</source>
        <translation>más rápido, con más golpes entre los tiempos y un bajo</translation>
    </message>
    <message>
        <source>slower, with bass and chords, and more time between two beats to get lost in</source>
        <translation>más lento, con bajo y acordes, y más rato entre dos tiempos para perderse</translation>
    </message>
    <message>
        <source>drums that leave out a beat or a bar where the phrase turns, in a whole song</source>
        <translation>una batería que se salta un tiempo o un compás donde cambia la frase, en una canción entera</translation>
    </message>
    <message>
        <source>the second kick comes early or late, with bass and chords; the sheet alone counts</source>
        <translation>el segundo bombo se adelanta o se retrasa, con bajo y acordes; solo cuenta la hoja</translation>
    </message>
    <message>
        <source>phrases of sixteen bars, in a whole song and in your head</source>
        <translation>frases de dieciséis compases, en una canción entera y de cabeza</translation>
    </message>
    <message>
        <source>the backbeat stands on the three: half time, with bass and chords</source>
        <translation>el backbeat está en el tres: a la mitad, con bajo y acordes</translation>
    </message>
    <message>
        <source>You were on {beat}. The drums are alike there: listen for the bass or the chords, which change on the one.</source>
        <translation>Estabas en {beat}. La batería suena igual ahí: busca el bajo o los acordes, que cambian en el uno.</translation>
    </message>
    <message>
        <source>one fill comes in mid-phrase, where nothing turns; with bass and chords</source>
        <translation>un relleno llega a mitad de frase, donde no cambia nada; con bajo y acordes</translation>
    </message>
    <message>
        <source>phrases of sixteen bars, in a whole song</source>
        <translation>frases de dieciséis compases, en una canción entera</translation>
    </message>
    <message>
        <source>fast, in a whole song, and only two bars to find the one</source>
        <translation>rápido, en una canción entera, y solo dos compases para encontrar el uno</translation>
    </message>
    <message>
        <source>It stopped on {beat}. You were half a bar off: start your count where the bass or the chords change.</source>
        <translation>Se paró en {beat}. Ibas a medio compás: empieza la cuenta donde cambian el bajo o los acordes.</translation>
    </message>
    <message>
        <source>You came in on {beat}, half a bar off. Start your count where the bass or the chords change.</source>
        <translation>Entraste en {beat}, a medio compás. Empieza la cuenta donde cambian el bajo o los acordes.</translation>
    </message>
    <message>
        <source>any sign may announce the turn, and one crash misleads; with bass and chords</source>
        <translation>cualquier señal puede anunciar el cambio y un golpe de plato engaña; con bajo y acordes</translation>
    </message>
    <message>
        <source>Another version of the program made this trial. What sounds are plain drums on its beats, not its own sound.</source>
        <translation>Otra versión del programa hizo esta prueba. Suena una batería sencilla en sus pulsos, no su propio sonido.</translation>
    </message>
    <message>
        <source>This trial cannot be made again as it was. What sounds are plain drums on its beats, not its own sound.</source>
        <translation>Esta prueba no se puede volver a hacer como era. Suena una batería sencilla en sus pulsos, no su propio sonido.</translation>
    </message>
    <message>
        <source>Another version of the program made this trial, and did not keep what it takes to open it.</source>
        <translation>Otra versión del programa hizo esta prueba y no guardó lo necesario para abrirlo.</translation>
    </message>
    <message>
        <source>This trial is longer than {minutes} minutes, and is not made into a sound.</source>
        <translation>Esta prueba dura más de {minutes} minutos y no se convierte en sonido.</translation>
    </message>
    <message>
        <source>{path}: the logbook could not be used ({why}).</source>
        <translation>{path}: el cuaderno no se pudo usar ({why}).</translation>
    </message>
    <message>
        <source>{path}: the disk is full. Everything kept so far is still there.</source>
        <translation>{path}: el disco está lleno. Todo lo guardado hasta ahora sigue ahí.</translation>
    </message>
    <message>
        <source>{path}: the logbook may not be written. Everything kept so far is still there.</source>
        <translation>{path}: no se permite escribir en el cuaderno. Todo lo guardado hasta ahora sigue ahí.</translation>
    </message>
    <message>
        <source>{path}: the logbook cannot be opened or made here; is the folder read-only?</source>
        <translation>{path}: aquí no se puede abrir ni crear el cuaderno; ¿la carpeta es de solo lectura?</translation>
    </message>
    <message>
        <source>{path}: the disk refused ({why}).</source>
        <translation>{path}: el disco se negó ({why}).</translation>
    </message>
    <message>
        <source>{path}: the logbook is damaged. Start the program again to have it mended from a copy.</source>
        <translation>{path}: el cuaderno está dañado. Vuelve a abrir el programa para que lo repare con una copia.</translation>
    </message>
    <message>
        <source>{path}: this logbook has version {version}, this program knows versions up to {known}. It was left as it is: start a newer program with it.</source>
        <translation>{path}: este cuaderno tiene la versión {version}, y este programa conoce hasta la {known}. Se dejó como está: ábrelo con un programa más nuevo.</translation>
    </message>
    <message>
        <source>{path}: the logbook is damaged, and may not be written: it cannot be mended here.</source>
        <translation>{path}: el cuaderno está dañado y no se permite escribir en él: aquí no se puede reparar.</translation>
    </message>
    <message>
        <source>{path}: the logbook is damaged and cannot be mended now ({why}).</source>
        <translation>{path}: el cuaderno está dañado y ahora no se puede reparar ({why}).</translation>
    </message>
    <message>
        <source>4 to 8 bars, which a voice counts in fours</source>
        <translation>de 4 a 8 compases, que una voz cuenta de cuatro en cuatro</translation>
    </message>
    <message>
        <source>4 to 8 bars, without the voice</source>
        <translation>de 4 a 8 compases, sin la voz</translation>
    </message>
    <message>
        <source>5 to 12 bars</source>
        <translation>de 5 a 12 compases</translation>
    </message>
    <message>
        <source>8 to 16 bars, any sign of a turn</source>
        <translation>de 8 a 16 compases, con cualquier señal de cambio</translation>
    </message>
    <message>
        <source>bass, chords or a voice may be heard early, alone and softly</source>
        <translation>el bajo, los acordes o una voz pueden oírse antes, solos y suaves</translation>
    </message>
    <message>
        <source>12 to 24 bars</source>
        <translation>de 12 a 24 compases</translation>
    </message>
    <message>
        <source>12 to 24 bars, and beats before the first one</source>
        <translation>de 12 a 24 compases, y tiempos antes del primer uno</translation>
    </message>
    <message>
        <source>any length from 12 to 32 bars</source>
        <translation>cualquier longitud de 12 a 32 compases</translation>
    </message>
    <message>
        <source>an intro of four or six bars; the sheet and a voice count along</source>
        <translation>una intro de cuatro o seis compases; la hoja y una voz cuentan contigo</translation>
    </message>
    <message>
        <source>an intro of four, five or six bars</source>
        <translation>una intro de cuatro, cinco o seis compases</translation>
    </message>
    <message>
        <source>faster, with a bass</source>
        <translation>más rápido, con un bajo</translation>
    </message>
    <message>
        <source>early kicks, late kicks and half time, slow or fast, in phrases of eight bars</source>
        <translation>bombos antes o después de lo esperado y todo a la mitad, lento o rápido, en frases de ocho compases</translation>
    </message>
    <message>
        <source>the second kick may come early or late, with a bass</source>
        <translation>el segundo bombo puede llegar antes o después, con un bajo</translation>
    </message>
    <message>
        <source>the backbeat may stand on the three: half time, with bass and chords</source>
        <translation>el backbeat puede caer en el tres: a la mitad, con bajo y acordes</translation>
    </message>
    <message>
        <source>within 4 %: few people name a tempo more nearly</source>
        <translation>con un 4 % de margen: poca gente dice un tempo con más precisión</translation>
    </message>
    <message>
        <source>patterns of many kinds, with bass and chords</source>
        <translation>patrones de muchas clases, con bajo y acordes</translation>
    </message>
    <message>
        <source>six silent bars in a whole song, and nothing but the return to tap</source>
        <translation>seis compases en silencio en una canción entera, y solo la vuelta por tocar</translation>
    </message>
    <message>
        <source>You came in one bar late. The one to tap is right after the last silent bar.</source>
        <translation>Entraste con un compás de retraso. El uno que hay que tocar viene justo después del último compás en silencio.</translation>
    </message>
    <message>
        <source>You came in {n} bars late. The one to tap is right after the last silent bar.</source>
        <translation>Entraste con {n} compases de retraso. El uno que hay que tocar viene justo después del último compás en silencio.</translation>
    </message>
    <message>
        <source>phrases of four or eight bars, which a voice counts</source>
        <translation>frases de cuatro u ocho compases, que una voz cuenta</translation>
    </message>
    <message>
        <source>without the voice</source>
        <translation>sin la voz</translation>
    </message>
    <message>
        <source>four, six or eight bars, on any groove</source>
        <translation>cuatro, seis u ocho compases, en cualquier patrón</translation>
    </message>
    <message>
        <source>six, eight or twelve bars</source>
        <translation>seis, ocho o doce compases</translation>
    </message>
    <message>
        <source>Your taps lie closer together than at first: at the same rung and tempo the spread is about {percent} % smaller.</source>
        <translation>Tus toques están más juntos que al principio: con el mismo peldaño y tempo la dispersión es un {percent} % menor, más o menos.</translation>
    </message>
    <message>
        <source>Your taps lie further apart than at first: at the same rung and tempo the spread is about {percent} % larger. A tired hand or a noisy room can do that.</source>
        <translation>Tus toques están más separados que al principio: con el mismo peldaño y tempo la dispersión es un {percent} % mayor, más o menos. Pueden causarlo una mano cansada o una habitación ruidosa.</translation>
    </message>
    <message>
        <source>Dancers will hardly notice.</source>
        <translation>En la pista apenas se notará.</translation>
    </message>
    <message>
        <source>Count on through the silence, and tap the one after it.</source>
        <translation>Sigue contando en el silencio y toca el «uno» siguiente.</translation>
    </message>
    <message>
        <source>In the side task you had {right} of {shown}.</source>
        <translation>En la tarea acertaste {right} de {shown}.</translation>
    </message>
    <message>
        <source>In the side task you had only {right} of {shown}: keep both going, even if the count suffers at first.</source>
        <translation>En la tarea acertaste solo {right} de {shown}: mantén las dos cosas en marcha, aunque al principio sufra la cuenta.</translation>
    </message>
    <message>
        <source>Your taps were steady. Whether they were early or late is too close to tell.</source>
        <translation>Tus toques fueron regulares. No se puede distinguir si iban con adelanto o con retraso.</translation>
    </message>
    <message>
        <source>all {targets}</source>
        <translation>los {targets}</translation>
    </message>
    <message>
        <source>{hits} of {targets}</source>
        <translation>{hits} de {targets}</translation>
    </message>
    <message>
        <source>one tap too many</source>
        <translation>sobra un toque</translation>
    </message>
    <message>
        <source>{n} taps too many</source>
        <translation>sobran {n} toques</translation>
    </message>
    <message>
        <source>You met {met}, with {extra}.</source>
        <translation>Acertaste {met}, pero {extra}.</translation>
    </message>
    <message>
        <source>Tap only what is asked.</source>
        <translation>Toca solo lo que se pide.</translation>
    </message>
    <message>
        <source>It counts as right when three in four are met. Leave none out.</source>
        <translation>Cuenta como acierto cuando aciertas tres de cada cuatro. No te dejes ninguno.</translation>
    </message>
    <message>
        <source>Right.</source>
        <translation>Correcto.</translation>
    </message>
    <message>
        <source>As the bars go by, the beats part. If the second record&apos;s beat comes first, it runs ahead.</source>
        <translation>Compás a compás los tiempos se separan. Si el del segundo disco llega primero, ese disco se adelanta.</translation>
    </message>
    <message>
        <source>{percent} % apart</source>
        <translation>{percent} % de diferencia</translation>
    </message>
    <message>
        <source>So small a difference grows slowly. Wait for the last bars, where the beats are furthest apart.</source>
        <translation>Una diferencia tan pequeña crece despacio. Espera a los últimos compases, donde los tiempos están más separados.</translation>
    </message>
    <message>
        <source>You lost it for the last {n} beats. Keep nodding, even where the music changes.</source>
        <translation>Lo perdiste en los últimos {n} tiempos. Sigue moviendo la cabeza, aunque cambie la música.</translation>
    </message>
    <message>
        <source>That is together with the beat.</source>
        <translation>Eso es justo a tiempo.</translation>
    </message>
    <message>
        <source>Press with the beat, not in answer to it.</source>
        <translation>Pulsa justo con el tiempo, no en respuesta a él.</translation>
    </message>
    <message>
        <source>Let the beat come to you.</source>
        <translation>Deja que el pulso llegue a ti.</translation>
    </message>
    <message>
        <source>{right} of {asked} right this time.</source>
        <translation>Esta vez, {right} de {asked} correctas.</translation>
    </message>
    <message>
        <source>The rung follows all your answers, so that about four in five come right.</source>
        <translation>El peldaño sigue todas tus respuestas, para que salgan bien unas cuatro de cada cinco.</translation>
    </message>
    <message>
        <source>It comes back within about {n} days.</source>
        <translation>Vuelve a más tardar en unos {n} días.</translation>
    </message>
    <message>
        <source>When you miss the one, you are mostly on the two: {percent} % of all taps.</source>
        <translation>Cuando fallas el uno, sueles caer en el dos: el {percent} % de todos los toques.</translation>
    </message>
    <message>
        <source>When you miss the one, you are mostly on the three: {percent} % of all taps.</source>
        <translation>Cuando fallas el uno, sueles caer en el tres: el {percent} % de todos los toques.</translation>
    </message>
    <message>
        <source>When you miss the one, you are mostly on the four: {percent} % of all taps.</source>
        <translation>Cuando fallas el uno, sueles caer en el cuatro: el {percent} % de todos los toques.</translation>
    </message>
    <message>
        <source>When you miss the one, you are mostly on the five: {percent} % of all taps.</source>
        <translation>Cuando fallas el uno, sueles caer en el cinco: el {percent} % de todos los toques.</translation>
    </message>
    <message>
        <source>Not yet.</source>
        <translation>Aún no.</translation>
    </message>
    <message>
        <source>{path}: cannot be read ({why})</source>
        <translation>{path}: no se puede leer ({why})</translation>
    </message>
    <message>
        <source>a link that somebody else has made</source>
        <translation>un enlace que hizo otra persona</translation>
    </message>
    <message>
        <source>not the name of a file</source>
        <translation>no es el nombre de un archivo</translation>
    </message>
    <message>
        <source>a folder, not a file</source>
        <translation>una carpeta, no un archivo</translation>
    </message>
    <message>
        <source>not an ordinary file</source>
        <translation>no es un archivo corriente</translation>
    </message>
    <message>
        <source>too large: {size} bytes, at most {most}</source>
        <translation>demasiado grande: {size} bytes, como máximo {most}</translation>
    </message>
    <message>
        <source>{path} is a folder: a file name is expected.</source>
        <translation>{path} es una carpeta: se espera un nombre de archivo.</translation>
    </message>
    <message>
        <source>{path} is no ordinary file and is left alone.</source>
        <translation>{path} no es un archivo corriente y se deja como está.</translation>
    </message>
    <message>
        <source>{path}: there is no folder {folder}.</source>
        <translation>{path}: no existe la carpeta {folder}.</translation>
    </message>
    <message>
        <source>{path} is a file: a folder is expected.</source>
        <translation>{path} es un archivo: se espera una carpeta.</translation>
    </message>
    <message>
        <source>no such file or directory</source>
        <translation>no existe ese archivo o carpeta</translation>
    </message>
    <message>
        <source>permission denied</source>
        <translation>permiso denegado</translation>
    </message>
    <message>
        <source>operation not permitted</source>
        <translation>operación no permitida</translation>
    </message>
    <message>
        <source>no space left on device</source>
        <translation>no queda espacio en el disco</translation>
    </message>
    <message>
        <source>disk quota exceeded</source>
        <translation>se superó la cuota de disco</translation>
    </message>
    <message>
        <source>file too large</source>
        <translation>el archivo es demasiado grande</translation>
    </message>
    <message>
        <source>read-only file system</source>
        <translation>el disco es de solo lectura</translation>
    </message>
    <message>
        <source>is a directory</source>
        <translation>es una carpeta</translation>
    </message>
    <message>
        <source>not a directory</source>
        <translation>no es una carpeta</translation>
    </message>
    <message>
        <source>file name too long</source>
        <translation>el nombre es demasiado largo</translation>
    </message>
    <message>
        <source>too many levels of symbolic links</source>
        <translation>demasiados enlaces encadenados</translation>
    </message>
    <message>
        <source>input/output error</source>
        <translation>error de lectura o escritura</translation>
    </message>
    <message>
        <source>device or resource busy</source>
        <translation>el disco está en uso</translation>
    </message>
    <message>
        <source>too many open files</source>
        <translation>demasiados archivos abiertos</translation>
    </message>
    <message>
        <source>{path}: too few beats for a grid.</source>
        <translation>{path}: muy pocos tiempos para una cuenta.</translation>
    </message>
    <message>
        <source>{path}: more beats than any recording has.</source>
        <translation>{path}: más tiempos de los que tiene ninguna grabación.</translation>
    </message>
    <message>
        <source>{path}: more than {most} sounds; choose a folder within it.</source>
        <translation>{path}: más de {most} archivos de sonido; elige una carpeta dentro de ella.</translation>
    </message>
    <message>
        <source>{path}: there is no sound in this folder.</source>
        <translation>{path}: no hay ningún sonido en esta carpeta.</translation>
    </message>
    <message>
        <source>{path}: no JAMS file ({why}).</source>
        <translation>{path}: no es un archivo JAMS ({why}).</translation>
    </message>
    <message>
        <source>{path}: no beats with their places in the bar are in it.</source>
        <translation>{path}: no contiene tiempos con su lugar en el compás.</translation>
    </message>
    <message>
        <source>{path}: this is no list of files that can be read.</source>
        <translation>{path}: no es una lista de archivos que se pueda leer.</translation>
    </message>
    <message>
        <source>{path}: this list names no file of this computer.</source>
        <translation>{path}: esta lista no nombra ningún archivo de este equipo.</translation>
    </message>
    <message>
        <source>What still waits to be analysed could not be read ({why}).</source>
        <translation>No se pudo leer lo que aún espera su análisis ({why}).</translation>
    </message>
    <message>
        <source>{path}: this is no file of grids ({why}).</source>
        <translation>{path}: no es un archivo de cuentas ({why}).</translation>
    </message>
    <message>
        <source>{path}, line {line}: {why}.</source>
        <translation>{path}, línea {line}: {why}.</translation>
    </message>
    <message>
        <source>No record is confirmed yet: there is no grid to write.</source>
        <translation>Aún no hay ningún disco confirmado: no hay ninguna cuenta que escribir.</translation>
    </message>
    <message>
        <source>the sound ran dry</source>
        <translation>el sonido se quedó sin datos</translation>
    </message>
    <message>
        <source>the sound stopped</source>
        <translation>el sonido se paró</translation>
    </message>
    <message>
        <source>the sound&apos;s timing shifted</source>
        <translation>el sonido se desplazó en el tiempo</translation>
    </message>
    <message>
        <source>the sound moved to another output</source>
        <translation>el sonido pasó a otra salida</translation>
    </message>
    <message>
        <source>the computer slept, or its clock was set ({figure} s)</source>
        <translation>el ordenador se durmió o se cambió su reloj ({figure} s)</translation>
    </message>
    <message>
        <source>the program was too busy to watch the sound</source>
        <translation>el programa estaba demasiado ocupado para vigilar el sonido</translation>
    </message>
    <message>
        <source>no tap came in</source>
        <translation>no llegó ningún toque</translation>
    </message>
    <message>
        <source>the learner said that it does not count</source>
        <translation>el alumno dijo que no cuenta</translation>
    </message>
    <message>
        <source>The PortAudio library is missing: install libportaudio2 for sound.</source>
        <translation>Falta la biblioteca PortAudio: instala libportaudio2 para tener sonido.</translation>
    </message>
    <message>
        <source>The sound output {name} refuses {rate} Hz: choose another rate.</source>
        <translation>La salida de sonido {name} rechaza {rate} Hz: elige otra frecuencia.</translation>
    </message>
    <message>
        <source>The sound output {name} is held by another program, or gone.</source>
        <translation>La salida de sonido {name} la tiene otro programa, o ya no está.</translation>
    </message>
    <message>
        <source>The sound output {name} could not be opened: {why}</source>
        <translation>No se pudo abrir la salida de sonido {name}: {why}</translation>
    </message>
    <message>
        <source>The sound output did not start: {why}</source>
        <translation>La salida de sonido no arrancó: {why}</translation>
    </message>
    <message>
        <source>The microphone {name} could not be opened: {why}</source>
        <translation>No se pudo abrir el micrófono {name}: {why}</translation>
    </message>
    <message>
        <source>the package python-rtmidi is not installed</source>
        <translation>no está instalado el paquete python-rtmidi</translation>
    </message>
    <message>
        <source>this system has no MIDI sequencer</source>
        <translation>este sistema no tiene secuenciador MIDI</translation>
    </message>
    <message>
        <source>The calibrations were written by a newer version of this program; they are left alone.</source>
        <translation>Las calibraciones las escribió una versión más nueva de este programa; se dejan como están.</translation>
    </message>
    <message>
        <source>The calibrations could not be read; please calibrate again.</source>
        <translation>No se pudieron leer las calibraciones; calibra otra vez.</translation>
    </message>
    <message>
        <source>The calibrations could not be read; please calibrate again. The old file is {aside}.</source>
        <translation>No se pudieron leer las calibraciones; calibra otra vez. El archivo anterior es {aside}.</translation>
    </message>
    <message>
        <source>The calibrations could not be read ({why}).</source>
        <translation>No se pudieron leer las calibraciones ({why}).</translation>
    </message>
    <message>
        <source>{path} cannot be written: {why}.</source>
        <translation>No se puede escribir {path}: {why}.</translation>
    </message>
    <message>
        <source>The folder {path} cannot be made: {why}.</source>
        <translation>No se puede crear la carpeta {path}: {why}.</translation>
    </message>
    <message>
        <source>Something went wrong inside the program ({what}).</source>
        <translation>Algo ha fallado dentro del programa ({what}).</translation>
    </message>
    <message>
        <source>The details are in {path}.</source>
        <translation>Los detalles están en {path}.</translation>
    </message>
    <message>
        <source>The settings&apos; {name} = {given} cannot be used; it is {usual} again.</source>
        <translation>{name} = {given} no vale en los ajustes; vuelve a ser {usual}.</translation>
    </message>
    <message>
        <source>The microphone did not start: {why}</source>
        <translation>El micrófono no arrancó: {why}</translation>
    </message>
    <message>
        <source>Silence played for {seconds} s: {blocks} blocks served, faults: {faults}.</source>
        <translation>Silencio durante {seconds} s: {blocks} bloques servidos, fallos: {faults}.</translation>
    </message>
    <message>
        <source>The moment of a sound is known to {residual} ms (SD); the host says that it leaves {lead} ms after the program.</source>
        <translation>El momento de un sonido se conoce con {residual} ms (DE); según el sistema, sale {lead} ms después que del programa.</translation>
    </message>
    <message>
        <source>The host reports no moments of its own: the way of the sound to the ear is only estimated.</source>
        <translation>El sistema no indica ningún momento: el camino del sonido hasta el oído es solo una estimación.</translation>
    </message>
    <message>
        <source>The output&apos;s clock runs {ppm} ppm (parts in a million) off the computer&apos;s; the program corrects this.</source>
        <translation>El reloj de la salida se desvía {ppm} ppm (partes por millón) del reloj del ordenador; el programa lo corrige.</translation>
    </message>
    <message>
        <source>The output&apos;s clock has not run long enough to show how far it is off the computer&apos;s.</source>
        <translation>El reloj de la salida aún no lleva en marcha lo bastante para saber cuánto se desvía del reloj del ordenador.</translation>
    </message>
    <message>
        <source>A program that waits for 5 ms wakes {median} ms late as a rule, {worst} ms at worst.</source>
        <translation>Un programa que espera 5 ms despierta por lo general con {median} ms de retraso, {worst} ms en el peor caso.</translation>
    </message>
    <message>
        <source>MIDI inputs: none.</source>
        <translation>Entradas MIDI: ninguna.</translation>
    </message>
    <message>
        <source>Calibration ({source}): by {method}, {lag} ± {error} ms, made {day}.</source>
        <translation>Calibración ({source}): método: {method}; {lag} ± {error} ms, hecha el {day}.</translation>
    </message>
    <message>
        <source>Calibration: none. Calibrate in the window, under Sound and taps, by tapping or by microphone.</source>
        <translation>Calibración: ninguna. Calibra en la ventana, en «Audio y toques», tocando o con micrófono.</translation>
    </message>
    <message>
        <source>A single tap is good to {ms} ms (about 95 %), but for a constant lag that was not measured.</source>
        <translation>Un solo toque es exacto hasta {ms} ms (alrededor del 95 %), salvo un retardo constante que no se ha medido.</translation>
    </message>
    <message>
        <source>What now: {advice}</source>
        <translation>Y ahora: {advice}</translation>
    </message>
    <message>
        <source>No sound.</source>
        <translation>No hay sonido.</translation>
    </message>
    <message>
        <source>The sound broke off while it was measured ({why}).</source>
        <translation>El sonido se cortó mientras se medía ({why}).</translation>
    </message>
    <message>
        <source>Bluetooth suspected: {ms} ms.</source>
        <translation>Se sospecha Bluetooth: {ms} ms.</translation>
    </message>
    <message>
        <source>Bluetooth suspected: its delay, often 100 to 300 ms, is not known.</source>
        <translation>Se sospecha Bluetooth: su retardo, a menudo de 100 a 300 ms, no se conoce.</translation>
    </message>
    <message>
        <source>Estimated clock, not calibrated.</source>
        <translation>Reloj estimado, sin calibrar.</translation>
    </message>
    <message>
        <source>Not calibrated. Good to {ms} ms from one tap to the next.</source>
        <translation>Sin calibrar. Exacto hasta {ms} ms de un toque al siguiente.</translation>
    </message>
    <message>
        <source>Nothing can be practised by ear. Connect an output, then look again.</source>
        <translation>No se puede practicar nada de oído. Conecta una salida y vuelve a mirar.</translation>
    </message>
    <message>
        <source>The sound stumbled for a moment; it goes on.</source>
        <translation>El sonido tropezó un momento; ya sigue.</translation>
    </message>
    <message>
        <source>1 answer</source>
        <translation>1 respuesta</translation>
    </message>
    <message>
        <source>{n} answers</source>
        <translation>{n} respuestas</translation>
    </message>
    <message>
        <source>The settings could not be read and are as at first; the old file is kept as {kept}. (At: {where}.)</source>
        <translation>No se pudieron leer los ajustes y están como al principio; el archivo anterior se conserva como {kept}. (En: {where}.)</translation>
    </message>
    <message>
        <source>The settings could not be read ({why}); everything is as at first.</source>
        <translation>No se pudieron leer los ajustes ({why}); todo está como al principio.</translation>
    </message>
    <message>
        <source>{trouble}. You can practise; nothing will be saved.</source>
        <translation>{trouble}. Puedes practicar; no se guardará nada.</translation>
    </message>
    <message>
        <source>the microphone missed a part of what it was to hear</source>
        <translation>el micrófono se perdió una parte de lo que debía oír</translation>
    </message>
    <message>
        <source>No sound output was found. Connect an output, or choose another.</source>
        <translation>No se encontró ninguna salida de sonido. Conecta una salida o elige otra.</translation>
    </message>
    <message>
        <source>No microphone was found. Connect a microphone, or choose another.</source>
        <translation>No se encontró ningún micrófono. Conecta un micrófono o elige otro.</translation>
    </message>
    <message>
        <source>No sound output called {name} was found. Connect it, or choose another.</source>
        <translation>No se encontró ninguna salida de sonido llamada {name}. Conéctala o elige otra.</translation>
    </message>
    <message>
        <source>Several sound outputs are called {name}: choose from the list.</source>
        <translation>Varias salidas de sonido se llaman {name}: elige en la lista.</translation>
    </message>
    <message>
        <source>Several microphones are called {name}: choose from the list.</source>
        <translation>Varios micrófonos se llaman {name}: elige en la lista.</translation>
    </message>
    <message>
        <source>The microphone {name} refuses {rate} Hz: choose another rate.</source>
        <translation>El micrófono {name} rechaza {rate} Hz: elige otra frecuencia.</translation>
    </message>
    <message>
        <source>The microphone {name} is held by another program, or gone.</source>
        <translation>El micrófono {name} lo tiene otro programa, o ya no está.</translation>
    </message>
    <message>
        <source>The sound stumbled: the computer was busy. That was not you, and this trial does not count.</source>
        <translation>El sonido tropezó: el ordenador estaba ocupado. No fue culpa tuya, y esta prueba no cuenta.</translation>
    </message>
    <message>
        <source>The sound stopped: the output no longer answered. That was not you, and this trial does not count.</source>
        <translation>El sonido se paró: la salida dejó de responder. No fue culpa tuya, y esta prueba no cuenta.</translation>
    </message>
    <message>
        <source>The computer slept, or its clock was set. That was not you, and this trial does not count.</source>
        <translation>El ordenador se durmió, o se cambió su reloj. No fue culpa tuya, y esta prueba no cuenta.</translation>
    </message>
    <message>
        <source>The microphone missed a part of it. That was not you, and this trial does not count.</source>
        <translation>El micrófono se perdió una parte. No fue culpa tuya, y esta prueba no cuenta.</translation>
    </message>
    <message>
        <source>the one</source>
        <translation>el uno</translation>
    </message>
    <message>
        <source>the two</source>
        <translation>el dos</translation>
    </message>
    <message>
        <source>the three</source>
        <translation>el tres</translation>
    </message>
    <message>
        <source>the four</source>
        <translation>el cuatro</translation>
    </message>
    <message>
        <source>the five</source>
        <translation>el cinco</translation>
    </message>
    <message>
        <source>the six</source>
        <translation>el seis</translation>
    </message>
    <message>
        <source>the seven</source>
        <translation>el siete</translation>
    </message>
    <message>
        <source>beat {n}</source>
        <translation>el tiempo {n}</translation>
    </message>
    <message>
        <source>{first} and {second}</source>
        <translation>{first} y {second}</translation>
    </message>
    <message>
        <source>No tap came in. Tap with the space bar, a mouse button or a finger.</source>
        <translation>No llegó ningún toque. Toca con la barra espaciadora, un botón del ratón o un dedo.</translation>
    </message>
    <message>
        <source>Your taps did not settle on the beat. Nod along for a few bars first, then tap with the nod.</source>
        <translation>Tus toques no se asentaron en el pulso. Mueve primero la cabeza unos compases y después toca con ese movimiento.</translation>
    </message>
    <message>
        <source>Your taps fell between the beats, all by the same amount. Wireless headphones can do that: measure their delay.</source>
        <translation>Tus toques cayeron entre los tiempos, todos con el mismo desvío. Eso lo pueden causar unos auriculares inalámbricos: mide su retardo.</translation>
    </message>
    <message>
        <source>You tapped twice in every beat, in double time. Slow down to the beat itself first.</source>
        <translation>Tocaste dos veces en cada tiempo, al doble. Baja primero hasta el pulso mismo.</translation>
    </message>
    <message>
        <source>You tapped every second beat, in half time. Put one more tap between each two.</source>
        <translation>Tocaste en uno de cada dos tiempos, a la mitad. Pon un toque más entre cada dos.</translation>
    </message>
    <message>
        <source>You tapped every second beat, in half time, on {beats}. Put one more tap between each two.</source>
        <translation>Tocaste en uno de cada dos tiempos, a la mitad, en {beats}. Pon un toque más entre cada dos.</translation>
    </message>
    <message>
        <source>You slowed down: your taps fell further and further behind.</source>
        <translation>Te frenaste: tus toques se fueron quedando cada vez más atrás.</translation>
    </message>
    <message>
        <source>You sped up: your taps ran further and further ahead.</source>
        <translation>Te aceleraste: tus toques se fueron adelantando cada vez más.</translation>
    </message>
    <message>
        <source>Your taps were steady.</source>
        <translation>Tus toques fueron regulares.</translation>
    </message>
    <message>
        <source>Your taps wandered by about {ms} ms. Move with the beat while you wait.</source>
        <translation>Tus toques oscilaron unos {ms} ms. Muévete con el pulso mientras esperas.</translation>
    </message>
    <message>
        <source>Your taps were on time and steady.</source>
        <translation>Tus toques fueron puntuales y regulares.</translation>
    </message>
    <message>
        <source>Answer</source>
        <translation>Responder</translation>
    </message>
    <message>
        <source>{learner} has not practised yet: there is nothing to report.</source>
        <translation>{learner} aún no ha practicado: no hay nada que contar.</translation>
    </message>
    <message>
        <source>Not everything is saved yet. Close the window again to leave without it.</source>
        <translation>Aún no está todo guardado. Cierra la ventana otra vez para salir sin guardarlo.</translation>
    </message>
    <message>
        <source>a kick on every beat; the sheet and a voice count along</source>
        <translation>un bombo en cada tiempo; la hoja y una voz cuentan contigo</translation>
    </message>
    <message>
        <source>kick and snare take turns; the sheet counts along</source>
        <translation>bombo y caja se turnan; la hoja cuenta contigo</translation>
    </message>
    <message>
        <source>the beat divides in three: a shuffle</source>
        <translation>el tiempo se divide en tres: un shuffle</translation>
    </message>
    <message>
        <source>You had every beat: {targets} of {targets}.</source>
        <translation>Acertaste todos los tiempos: {targets} de {targets}.</translation>
    </message>
    <message>
        <source>Nothing can be measured like this. Close other programs, then look again.</source>
        <translation>Así no se puede medir nada. Cierra otros programas y vuelve a mirar.</translation>
    </message>
    <message>
        <source>It can be measured how steady you are, and whether you are early or late. But sound comes late: use a cable.</source>
        <translation>Se puede medir lo regular que eres, y si te adelantas o te retrasas. Pero el sonido llega con retraso: usa un cable.</translation>
    </message>
    <message>
        <source>It can be measured how steady you are. Not yet whether you are early or late: use a cable, or calibrate, about a minute.</source>
        <translation>Se puede medir lo regular que eres. Si te adelantas o te retrasas, aún no: usa un cable o calibra, un minuto.</translation>
    </message>
    <message>
        <source>It can be measured how steady you are. Not yet whether you are early or late: calibrate, about a minute.</source>
        <translation>Se puede medir lo regular que eres. Si te adelantas o te retrasas, aún no: calibra, un minuto.</translation>
    </message>
    <message>
        <source>It can be measured how steady you are, and whether you are early or late. All is ready: practise.</source>
        <translation>Se puede medir lo regular que eres, y si te adelantas o te retrasas. Todo está listo: a practicar.</translation>
    </message>
    <message>
        <source>The microphone hears nothing. Choose another, or look whether it is muted.</source>
        <translation>El micrófono no oye nada. Elige otro o mira si está silenciado.</translation>
    </message>
    <message>
        <source>The MIDI input {name} is not connected any more.</source>
        <translation>La entrada MIDI {name} ya no está conectada.</translation>
    </message>
    <message>
        <source>Too few taps: {n}. At least {least} are needed, {most} are better. Tap along with every click.</source>
        <translation>Muy pocos toques: {n}. Hacen falta al menos {least}, mejor {most}. Toca con todos los clics.</translation>
    </message>
    <message>
        <source>Your taps wander too much to find the lag: it would only be good to {error} ms. Try again, relaxed.</source>
        <translation>Tus toques oscilan demasiado para saber el retardo: solo sería exacto hasta {error} ms. Vuelve a intentarlo, con soltura.</translation>
    </message>
    <message>
        <source>Taps came from several inputs. Use a single input while it is being measured.</source>
        <translation>Los toques llegaron de varias entradas. Usa una sola entrada durante la medición.</translation>
    </message>
    <message>
        <source>{path} may still hold the name {learner}: delete it yourself.</source>
        <translation>{path} puede contener aún el nombre {learner}: bórralo tú.</translation>
    </message>
    <message>
        <source>{path} cannot be used: {why}.</source>
        <translation>{path} no se puede usar: {why}.</translation>
    </message>
    <message>
        <source>No tap came in, so this trial does not count. Tap with the space bar, a click on the sheet or a finger.</source>
        <translation>No llegó ningún toque, así que esta prueba no cuenta. Toca con la barra espaciadora, un clic en la hoja o un dedo.</translation>
    </message>
    <message>
        <source>This trial does not count, as you said. It stays in the logbook with that reason.</source>
        <translation>Esta prueba no cuenta, como has dicho. Queda en el cuaderno con ese motivo.</translation>
    </message>
    <message>
        <source>{why} This is therefore the plan of a first day.</source>
        <translation>{why} Por eso este es el plan de un primer día.</translation>
    </message>
    <message>
        <source>How far today&apos;s plan had come could not be read, so it begins again.</source>
        <translation>No se pudo leer hasta dónde habías llegado en el plan de hoy, así que empieza de nuevo.</translation>
    </message>
    <message>
        <source>Acoustic drums in a room</source>
        <translation>Batería acústica en una sala</translation>
    </message>
    <message>
        <source>Drum machine</source>
        <translation>Caja de ritmos</translation>
    </message>
    <message>
        <source>Worn break</source>
        <translation>Break gastado</translation>
    </message>
    <message>
        <source>Dry drums</source>
        <translation>Batería seca</translation>
    </message>
    <message>
        <source>The sound output has changed since it was calibrated, so early and late are not shown. Calibrate again under Sound and taps.</source>
        <translation>La salida de sonido ha cambiado desde que se calibró, así que no se indican adelanto ni retraso. Calibra otra vez en «Audio y toques».</translation>
    </message>
    <message>
        <source>Too few taps could be used: {n}. At least {least} are needed. Keep tapping between the clicks until they end.</source>
        <translation>Se pudieron usar muy pocos toques: {n}. Hacen falta al menos {least}. Sigue tocando entre los clics hasta que terminen.</translation>
    </message>
    <message>
        <source>without help</source>
        <translation>sin ayuda</translation>
    </message>
    <message>
        <source>beats without a kick or a snare</source>
        <translation>tiempos sin bombo ni caja</translation>
    </message>
    <message>
        <source>You had the beat: {hits} of {targets}.</source>
        <translation>Llevabas el pulso: {hits} de {targets}.</translation>
    </message>
    <message>
        <source>You had the beat: {hits} of {targets}. You stopped {n} beats before the end.</source>
        <translation>Llevabas el pulso: {hits} de {targets}. Paraste {n} tiempos antes del final.</translation>
    </message>
    <message>
        <source>Your taps were in time, but some beats had no tap, or several. Tap once on every beat.</source>
        <translation>Tus toques iban a tiempo, pero algunos tiempos no tuvieron toque, o tuvieron varios. Toca una vez en cada tiempo.</translation>
    </message>
    <message>
        <source>The first {n} beats went by before you were in.</source>
        <translation>Los primeros {n} tiempos pasaron antes de que entraras.</translation>
    </message>
    <message>
        <source>Tap once on every beat.</source>
        <translation>Toca una vez en cada tiempo.</translation>
    </message>
    <message>
        <source>The beat</source>
        <translation>El pulso</translation>
    </message>
    <message>
        <source>Tap along with every beat, as you would nod your head.</source>
        <translation>Toca en cada tiempo, como si movieras la cabeza.</translation>
    </message>
    <message>
        <source>the sheet counts along, the voice is silent</source>
        <translation>la hoja cuenta contigo, la voz calla</translation>
    </message>
    <message>
        <source>with bass and chords, and only two turns to press on</source>
        <translation>con bajo y acordes, y solo dos cambios en los que pulsar</translation>
    </message>
    <message>
        <source>phrases of eight bars</source>
        <translation>frases de ocho compases</translation>
    </message>
    <message>
        <source>one turn comes without any warning</source>
        <translation>un cambio llega sin ningún aviso</translation>
    </message>
    <message>
        <source>only the next turn counts, in phrases of eight bars</source>
        <translation>solo cuenta el próximo cambio, en frases de ocho compases</translation>
    </message>
    <message>
        <source>a fill announces each turn; the sheet and a voice count along</source>
        <translation>un relleno anuncia cada cambio; la hoja y una voz cuentan contigo</translation>
    </message>
    <message>
        <source>Bring it in</source>
        <translation>Mete el disco</translation>
    </message>
    <message>
        <source>Press once to start the second record: its first beat is to land on the one of a phrase.</source>
        <translation>Pulsa una vez para arrancar el segundo disco: su primer tiempo debe caer en el uno de una frase.</translation>
    </message>
    <message>
        <source>You brought it in on the one of the phrase</source>
        <translation>Lo metiste en el uno de la frase</translation>
    </message>
    <message>
        <source>The press itself is the second record&apos;s first beat: press with the one, not after it.</source>
        <translation>La pulsación misma es el primer tiempo del segundo disco: pulsa con el uno, no después.</translation>
    </message>
    <message>
        <source>That was not a one. Find the beat that starts the bar first, then count the bars.</source>
        <translation>Eso no era un uno. Encuentra primero el tiempo que abre el compás y después cuenta los compases.</translation>
    </message>
    <message>
        <source>Beat, bar, the one and the phrase: hear them and tap along. Nothing is marked.</source>
        <translation>Tiempo, compás, el uno y la frase: escúchalos y toca a la vez. Nada se corrige.</translation>
    </message>
    <message>
        <source>The sound broke off for a moment and began again.</source>
        <translation>El sonido se cortó un momento y empezó de nuevo.</translation>
    </message>
    <message>
        <source>The sound stumbled. Tap on with the clicks: the taps from before count.</source>
        <translation>El sonido tropezó. Sigue tocando con los clics: los toques de antes cuentan.</translation>
    </message>
    <message>
        <source>The sound stumbled, so the measurement begins again.</source>
        <translation>El sonido tropezó, así que la medición empieza otra vez.</translation>
    </message>
    <message>
        <source>The sound plays on {output} now; its calibration is in use.</source>
        <translation>El sonido sale ahora por {output}; se usa su calibración.</translation>
    </message>
    <message>
        <source>The sound plays on {output} now, which is not calibrated. Calibrate under Sound and taps, so that you see early and late.</source>
        <translation>El sonido sale ahora por {output}, que no está calibrado. Calibra en «Audio y toques» para ver adelanto y retraso.</translation>
    </message>
    <message>
        <source>Saved as {name}: the drums and parts of your record.</source>
        <translation>Guardado como {name}: la batería y las partes de tu disco.</translation>
    </message>
    <message>
        <source>Saved as {name}: your record alone, without the voice and the second record.</source>
        <translation>Guardado como {name}: solo tu disco, sin la voz ni el segundo disco.</translation>
    </message>
    <message>
        <source>drums</source>
        <translation>batería</translation>
    </message>
    <message>
        <source>{title} is a recording. There are no notes to save.</source>
        <translation>{title} es una grabación. No hay notas que guardar.</translation>
    </message>
    <message>
        <source>None of your records fits this drill. Add records, or confirm them by ear.</source>
        <translation>Ninguno de tus discos sirve para este ejercicio. Añade discos o confírmalos de oído.</translation>
    </message>
    <message>
        <source>You left the trial, so it was not kept.</source>
        <translation>Dejaste la prueba, así que no se guardó.</translation>
    </message>
    <message>
        <source>This cannot be set here: the tempo or the place would lie outside.</source>
        <translation>Aquí no se puede: el tempo o el lugar quedarían fuera.</translation>
    </message>
    <message>
        <source>Tap the one of the next {n} bars too.</source>
        <translation>Toca también el «uno» de los {n} compases siguientes.</translation>
    </message>
    <message>
        <source>Tap the one of the next bar too.</source>
        <translation>Toca también el «uno» del compás siguiente.</translation>
    </message>
    <message>
        <source>Your taps lie all over the bar. Listen, and tap the ones again.</source>
        <translation>Tus toques caen por todo el compás. Escucha y toca de nuevo los «unos».</translation>
    </message>
    <message>
        <source>Tap the ones while the record sounds.</source>
        <translation>Toca los «unos» mientras suena el disco.</translation>
    </message>
    <message>
        <source>Your taps are on the ones that were there.</source>
        <translation>Tus toques caen en los «unos» que ya había.</translation>
    </message>
    <message>
        <source>The sound stopped: {why}. Hear it again when you like.</source>
        <translation>El sonido se paró: {why}. Vuelve a oírlo cuando quieras.</translation>
    </message>
    <message>
        <source>Hear the tempo first. Do the clicks go with the beat that you nod to? If not: H or D.</source>
        <translation>Oye primero el tempo. ¿Van los golpes con el tiempo que marcas con la cabeza? Si no: H o D.</translation>
    </message>
    <message>
        <source>Hear the one first. Does the low block fall on the one?</source>
        <translation>Oye primero el «uno». ¿Cae el bloque grave en el «uno»?</translation>
    </message>
    <message>
        <source>Hear the phrase first. Does something new begin with its first bar?</source>
        <translation>Oye primero la frase. ¿Empieza algo nuevo con su primer compás?</translation>
    </message>
    <message>
        <source>Nothing more changes in that direction.</source>
        <translation>En esa dirección no cambia nada más.</translation>
    </message>
    <message>
        <source>None of {n} records fits this drill. Begin again to try others, or choose a record.</source>
        <translation>Ninguno de {n} discos sirve para este ejercicio. Empieza otra vez para probar otros, o elige un disco.</translation>
    </message>
    <message>
        <source>The file of {title} is not to be found. Look whether its drive is there.</source>
        <translation>No se encuentra el archivo de {title}. Mira si su unidad está conectada.</translation>
    </message>
    <message>
        <source>The count of {title} is unsure. Confirm it by ear first.</source>
        <translation>La cuenta de {title} no es segura. Confírmala primero de oído.</translation>
    </message>
    <message>
        <source>{path}: this would replace the sound of a record of yours.</source>
        <translation>{path}: esto sustituiría el sonido de un disco tuyo.</translation>
    </message>
    <message>
        <source>{n} files wait for their analysis.</source>
        <translation>{n} archivos esperan su análisis.</translation>
    </message>
    <message>
        <source>One file waits for its analysis.</source>
        <translation>Un archivo espera su análisis.</translation>
    </message>
    <message>
        <source>No file was added.</source>
        <translation>No se añadió ningún archivo.</translation>
    </message>
    <message>
        <source>The analysis is done.</source>
        <translation>El análisis ha terminado.</translation>
    </message>
    <message>
        <source>{title} is out of the list. Its file is where it was.</source>
        <translation>{title} ya no está en la lista. Su archivo sigue donde estaba.</translation>
    </message>
    <message>
        <source>{title} is in the list again.</source>
        <translation>{title} está de nuevo en la lista.</translation>
    </message>
    <message>
        <source>The count of {title} is as it was.</source>
        <translation>La cuenta de {title} queda como estaba.</translation>
    </message>
    <message>
        <source>The count of {title} is confirmed.</source>
        <translation>La cuenta de {title} está confirmada.</translation>
    </message>
    <message>
        <source>{n} earlier trials on it were counted as it was before.</source>
        <translation>{n} pruebas anteriores con él se contaron como estaba antes.</translation>
    </message>
    <message>
        <source>One earlier trial on it was counted as it was before.</source>
        <translation>Una prueba anterior con él se contó como estaba antes.</translation>
    </message>
    <message>
        <source>Every result is the same as before.</source>
        <translation>Todos los resultados son los de antes.</translation>
    </message>
    <message>
        <source>One result is different.</source>
        <translation>Un resultado es distinto.</translation>
    </message>
    <message>
        <source>{n} results are different.</source>
        <translation>Resultados distintos: {n}.</translation>
    </message>
    <message>
        <source>{changed} Left as they were, since what they asked has no answer by the new count: {n}.</source>
        <translation>{changed} Quedan como estaban, porque lo que preguntaban no tiene respuesta con la nueva cuenta: {n}.</translation>
    </message>
    <message>
        <source>You have confirmed its count by ear.</source>
        <translation>Has confirmado su cuenta de oído.</translation>
    </message>
    <message>
        <source>The tutor has confirmed its count by ear.</source>
        <translation>El tutor ha confirmado su cuenta de oído.</translation>
    </message>
    <message>
        <source>Its count is not confirmed by ear.</source>
        <translation>Su cuenta no está confirmada de oído.</translation>
    </message>
    <message>
        <source>Its count was set right after this trial.</source>
        <translation>Su cuenta se corrigió después de esta prueba.</translation>
    </message>
    <message>
        <source>{least} records are confirmed: from now on a plan has trials on them. The settings say how many.</source>
        <translation>Hay {least} discos confirmados: desde ahora un plan tiene pruebas con ellos. Los ajustes dicen cuántas.</translation>
    </message>
    <message>
        <source>{path} is written. It is for your own use, as the record is.</source>
        <translation>Se ha escrito {path}. Es para tu uso propio, como el disco.</translation>
    </message>
    <message>
        <source>{title} is too long for one sound: at most {minutes} minutes can be written.</source>
        <translation>{title} es demasiado largo para un solo sonido: se pueden escribir {minutes} minutos como mucho.</translation>
    </message>
    <message>
        <source>{path} was not written, since the program was closed.</source>
        <translation>No se ha escrito {path}, porque se cerró el programa.</translation>
    </message>
    <message>
        <source>The sound moved to another output, or its delay changed. That was not you, and this trial does not count.</source>
        <translation>El sonido pasó a otra salida o cambió su retardo. No fue culpa tuya, y esta prueba no cuenta.</translation>
    </message>
    <message>
        <source>The sound stopped. Start it again when you like.</source>
        <translation>El sonido se paró. Ponlo otra vez cuando quieras.</translation>
    </message>
    <message>
        <source>The window was closed during a trial, so that trial was not kept.</source>
        <translation>La ventana se cerró durante una prueba, así que esa prueba no se guardó.</translation>
    </message>
    <message>
        <source>Marking is more exact in this version, so verdicts may differ from before. The command &apos;logbook mark-again&apos; marks earlier trials again.</source>
        <translation>En esta versión se corrige con más exactitud: los veredictos pueden cambiar. La orden «logbook mark-again» vuelve a corregir las pruebas anteriores.</translation>
    </message>
    <message>
        <source>First words</source>
        <translation>Primeras palabras</translation>
    </message>
    <message>
        <source>it runs ahead</source>
        <translation>se adelanta</translation>
    </message>
    <message>
        <source>it falls behind</source>
        <translation>se queda atrás</translation>
    </message>
    <message>
        <source>2.5 % apart, four bars together; kick and snare</source>
        <translation>2,5 % de diferencia, cuatro compases juntos; bombo y caja</translation>
    </message>
    <message>
        <source>2 % apart, a kick on every beat</source>
        <translation>2 % de diferencia, un bombo en cada tiempo</translation>
    </message>
    <message>
        <source>1.6 % apart, six bars together</source>
        <translation>1,6 % de diferencia, seis compases juntos</translation>
    </message>
    <message>
        <source>1.3 % apart</source>
        <translation>1,3 % de diferencia</translation>
    </message>
    <message>
        <source>1 % apart, in patterns that differ more</source>
        <translation>1 % de diferencia, en patrones más distintos</translation>
    </message>
    <message>
        <source>0.8 % apart, eight bars together, with bass and chords</source>
        <translation>0,8 % de diferencia, ocho compases juntos, con bajo y acordes</translation>
    </message>
    <message>
        <source>0.6 % apart, with bass and chords</source>
        <translation>0,6 % de diferencia, con bajo y acordes</translation>
    </message>
    <message>
        <source>0.45 % apart: a seventh of a beat after eight bars</source>
        <translation>0,45 % de diferencia: un séptimo de tiempo tras ocho compases</translation>
    </message>
    <message>
        <source>Ahead or behind</source>
        <translation>Delante o detrás</translation>
    </message>
    <message>
        <source>Say whether the second record runs ahead or falls behind.</source>
        <translation>Di si el segundo disco se adelanta o se queda atrás.</translation>
    </message>
    <message>
        <source>A second record comes in on the one, in time. Its tempo differs a little: does it run ahead or fall behind?</source>
        <translation>Un segundo disco entra en el uno, acompasado. Su tempo difiere un poco: ¿se adelanta o se queda atrás?</translation>
    </message>
    <message>
        <source>four bars before the turn, in phrases of eight; sheet and voice count along</source>
        <translation>cuatro compases antes del cambio, en frases de ocho; la hoja y una voz cuentan contigo</translation>
    </message>
    <message>
        <source>four bars before the turn, in phrases of eight; the sheet counts along</source>
        <translation>cuatro compases antes del cambio, en frases de ocho; la hoja cuenta contigo</translation>
    </message>
    <message>
        <source>four bars before the turn, in phrases of eight, without help</source>
        <translation>cuatro compases antes del cambio, en frases de ocho, sin ayuda</translation>
    </message>
    <message>
        <source>two bars before the turn, in phrases of eight</source>
        <translation>dos compases antes del cambio, en frases de ocho</translation>
    </message>
    <message>
        <source>one bar before the turn, in phrases of eight, with bass and chords</source>
        <translation>un compás antes del cambio, en frases de ocho, con bajo y acordes</translation>
    </message>
    <message>
        <source>two bars before the turn; one fill comes in mid-phrase, where nothing turns</source>
        <translation>dos compases antes del cambio; un relleno llega a mitad de frase, donde no cambia nada</translation>
    </message>
    <message>
        <source>four bars before the turn, in phrases of sixteen, with bass and chords</source>
        <translation>cuatro compases antes del cambio, en frases de dieciséis, con bajo y acordes</translation>
    </message>
    <message>
        <source>one bar before the turn, in phrases of sixteen; one fill comes in mid-phrase</source>
        <translation>un compás antes del cambio, en frases de dieciséis; un relleno llega a mitad de frase</translation>
    </message>
    <message>
        <source>Press once, {before} before the second turn: with the one of that bar. A phrase has {phrase} bars.</source>
        <translation>Pulsa una vez, {before} antes del segundo cambio: con el uno de ese compás. Una frase tiene {phrase} compases.</translation>
    </message>
    <message>
        <source>You pressed as the phrase turned. Count its bars, and press {before} earlier.</source>
        <translation>Pulsaste en el cambio de frase. Cuenta sus compases y pulsa {before} antes.</translation>
    </message>
    <message>
        <source>{before} before</source>
        <translation>{before} antes</translation>
    </message>
    <message>
        <source>Before the turn</source>
        <translation>Antes del cambio</translation>
    </message>
    <message>
        <source>Press once, some bars before the phrase turns.</source>
        <translation>Pulsa una vez, unos compases antes del cambio de frase.</translation>
    </message>
    <message>
        <source>No press came in. Press once: space bar, mouse button or a finger.</source>
        <translation>No llegó ninguna pulsación. Pulsa una vez: barra espaciadora, botón del ratón o un dedo.</translation>
    </message>
    <message>
        <source>You pressed as many bars before the turn as was asked</source>
        <translation>Pulsaste tantos compases antes del cambio como se pedía</translation>
    </message>
    <message>
        <source>Press with the one, not after it.</source>
        <translation>Pulsa con el uno, no después.</translation>
    </message>
    <message>
        <source>That was a one, but of another bar. Say the number of every bar on its one.</source>
        <translation>Era un uno, pero de otro compás. Di el número de cada compás en su uno.</translation>
    </message>
    <message>
        <source>Start the second record on the one of a phrase.</source>
        <translation>Mete el segundo disco en el «uno» de una frase.</translation>
    </message>
    <message>
        <source>That was a one, but not the one of a phrase. Count the bars too: 1 2 3 4, 2 2 3 4.</source>
        <translation>Era un uno, pero no el de una frase. Cuenta también los compases: 1 2 3 4, 2 2 3 4.</translation>
    </message>
    <message>
        <source>The two records can be heard apart: press with the beat, not in answer to it.</source>
        <translation>Se oyen los dos discos por separado: pulsa justo con el tiempo, no en respuesta a él.</translation>
    </message>
    <message>
        <source>The two records can be heard apart: let the beat come to you.</source>
        <translation>Se oyen los dos discos por separado: deja que el pulso llegue a ti.</translation>
    </message>
    <message>
        <source>kick and snare alone, slowly</source>
        <translation>solo bombo y caja, despacio</translation>
    </message>
    <message>
        <source>all the drums</source>
        <translation>toda la batería</translation>
    </message>
    <message>
        <source>a kick on every beat</source>
        <translation>un bombo en cada tiempo</translation>
    </message>
    <message>
        <source>phrases of eight bars, with a bass</source>
        <translation>frases de ocho compases, con bajo</translation>
    </message>
    <message>
        <source>after the first phrase you count on without the voice</source>
        <translation>tras la primera frase sigues contando sin la voz</translation>
    </message>
    <message>
        <source>bars of three and of five, and six-eight, which is counted in two</source>
        <translation>compases de tres y de cinco, y de seis por ocho, que se cuenta a dos</translation>
    </message>
    <message>
        <source>Nothing is marked here. Count aloud with the sheet, until the numbers come by themselves.</source>
        <translation>Aquí no se evalúa nada. Cuenta en voz alta con la hoja hasta que los números salgan solos.</translation>
    </message>
    <message>
        <source>Count along</source>
        <translation>Contar al compás</translation>
    </message>
    <message>
        <source>Count aloud with the sheet and the voice.</source>
        <translation>Cuenta en voz alta con la hoja y la voz.</translation>
    </message>
    <message>
        <source>Listen and count along aloud: the number of the bar on its one, then the beats.</source>
        <translation>Escucha y cuenta en voz alta: el número del compás en su uno y después los tiempos.</translation>
    </message>
    <message>
        <source>kick and snare, far apart</source>
        <translation>bombo y caja, muy distintos</translation>
    </message>
    <message>
        <source>kick and clap</source>
        <translation>bombo y palmada</translation>
    </message>
    <message>
        <source>which of four: kick, snare, closed or open hat</source>
        <translation>cuál de cuatro: bombo, caja, charles cerrado o abierto</translation>
    </message>
    <message>
        <source>which of four: kick, snare, closed hat or tambourine</source>
        <translation>cuál de cuatro: bombo, caja, charles cerrado o pandereta</translation>
    </message>
    <message>
        <source>kick, clap, rim and conga, after one bar</source>
        <translation>bombo, palmada, aro y conga, tras un compás</translation>
    </message>
    <message>
        <source>kick, snare, clap and cowbell, nearly alike</source>
        <translation>bombo, caja, palmada y cencerro, casi iguales</translation>
    </message>
    <message>
        <source>A groove, then one drum alone: which was it?</source>
        <translation>Un ritmo y después un golpe solo: ¿cuál era?</translation>
    </message>
    <message>
        <source>the kick</source>
        <translation>el bombo</translation>
    </message>
    <message>
        <source>the snare or clap</source>
        <translation>la caja o la palmada</translation>
    </message>
    <message>
        <source>the snare</source>
        <translation>la caja</translation>
    </message>
    <message>
        <source>the clap</source>
        <translation>la palmada</translation>
    </message>
    <message>
        <source>the rim</source>
        <translation>el aro</translation>
    </message>
    <message>
        <source>the closed hat</source>
        <translation>el charles cerrado</translation>
    </message>
    <message>
        <source>the open hat</source>
        <translation>el charles abierto</translation>
    </message>
    <message>
        <source>the tambourine</source>
        <translation>la pandereta</translation>
    </message>
    <message>
        <source>the conga</source>
        <translation>la conga</translation>
    </message>
    <message>
        <source>the cowbell</source>
        <translation>el cencerro</translation>
    </message>
    <message>
        <source>a thump, felt more than heard</source>
        <translation>un golpe sordo que, más que oírse, se siente</translation>
    </message>
    <message>
        <source>a crack, high and short</source>
        <translation>un chasquido agudo y corto</translation>
    </message>
    <message>
        <source>a crack with a rattle in it</source>
        <translation>un chasquido con un zumbido dentro</translation>
    </message>
    <message>
        <source>many hands at once</source>
        <translation>muchas manos a la vez</translation>
    </message>
    <message>
        <source>a dry click of wood</source>
        <translation>un clic seco de madera</translation>
    </message>
    <message>
        <source>a short tick of metal</source>
        <translation>un tic corto de metal</translation>
    </message>
    <message>
        <source>a hiss of metal that rings on</source>
        <translation>un siseo de metal que se queda sonando</translation>
    </message>
    <message>
        <source>a jingle</source>
        <translation>un cascabeleo</translation>
    </message>
    <message>
        <source>a round tone, as of a hand on a barrel</source>
        <translation>un tono redondo, como de una mano sobre un barril</translation>
    </message>
    <message>
        <source>a hollow clank</source>
        <translation>un golpe hueco de metal</translation>
    </message>
    <message>
        <source>That was {drum}: {sound}.</source>
        <translation>Era {drum}: {sound}.</translation>
    </message>
    <message>
        <source>your answer: {drum}</source>
        <translation>tu respuesta: {drum}</translation>
    </message>
    <message>
        <source>Diamond: a stroke in the bar that you heard.</source>
        <translation>Rombo: un golpe en el compás que oíste.</translation>
    </message>
    <message>
        <source>The drum</source>
        <translation>El golpe</translation>
    </message>
    <message>
        <source>{drill} is not practised on your own records: their count does not tell one drum from another.</source>
        <translation>{drill} no se practica con tus propios discos: su cuenta no distingue un golpe de otro.</translation>
    </message>
    <message>
        <source>your answer</source>
        <translation>tu respuesta</translation>
    </message>
    <message>
        <source>By the clock of the program your relaxed tap comes {lag} ms after the click. That counts as on time now.</source>
        <translation>Según el reloj del programa, tu toque relajado llega {lag} ms después del clic. Eso cuenta ahora como a tiempo.</translation>
    </message>
    <message>
        <source>By the clock of the program your relaxed tap comes {lag} ms before the click. That counts as on time now.</source>
        <translation>Según el reloj del programa, tu toque relajado llega {lag} ms antes del clic. Eso cuenta ahora como a tiempo.</translation>
    </message>
    <message>
        <source>Calibration: made for other equipment than this.</source>
        <translation>Calibración: hecha con otro equipo que este.</translation>
    </message>
    <message>
        <source>The sound stumbled again, so this trial does not count. Close other programs, or choose a longer latency under Sound and taps and calibrate again.</source>
        <translation>El sonido volvió a tropezar, así que esta prueba no cuenta. Cierra otros programas, o elige una latencia más larga en «Audio y toques» y calibra de nuevo.</translation>
    </message>
    <message>
        <source>25 % faster, kick and snare</source>
        <translation>25 % más rápido, bombo y caja</translation>
    </message>
    <message>
        <source>18 % faster</source>
        <translation>18 % más rápido</translation>
    </message>
    <message>
        <source>13 % faster</source>
        <translation>13 % más rápido</translation>
    </message>
    <message>
        <source>10 % faster</source>
        <translation>10 % más rápido</translation>
    </message>
    <message>
        <source>8 % faster</source>
        <translation>8 % más rápido</translation>
    </message>
    <message>
        <source>6 % faster</source>
        <translation>6 % más rápido</translation>
    </message>
    <message>
        <source>4 % faster</source>
        <translation>4 % más rápido</translation>
    </message>
    <message>
        <source>3 % faster: few people hear less</source>
        <translation>3 % más rápido: pocos oyen menos</translation>
    </message>
    <message>
        <source>2 % faster: near the limit of hearing</source>
        <translation>2 % más rápido: cerca del límite del oído</translation>
    </message>
    <message>
        <source>the first</source>
        <translation>el primero</translation>
    </message>
    <message>
        <source>the second</source>
        <translation>el segundo</translation>
    </message>
    <message>
        <source>It was {faster}: {percent} % faster, at {fast} BPM against {slow}.</source>
        <translation>Era {faster}: un {percent} % más rápido, a {fast} BPM frente a {slow}.</translation>
    </message>
    <message>
        <source>Nod along with the first and keep nodding in the pause: does the second run ahead of you or drag?</source>
        <translation>Mueve la cabeza con el primero y no pares en la pausa: ¿el segundo se te escapa o se queda atrás?</translation>
    </message>
    <message>
        <source>{percent} % faster</source>
        <translation>{percent} % más rápido</translation>
    </message>
    <message>
        <source>{tempo} BPM</source>
        <translation>{tempo} BPM</translation>
    </message>
    <message>
        <source>Which is faster?</source>
        <translation>¿Cuál va más rápido?</translation>
    </message>
    <message>
        <source>Two excerpts: which is faster?</source>
        <translation>Dos fragmentos: ¿cuál va más rápido?</translation>
    </message>
    <message>
        <source>You hear two excerpts of a record with a pause between them. Which is faster? It sounds higher, too: go by the beat.</source>
        <translation>Oyes dos fragmentos de un disco, con una pausa en medio. ¿Cuál va más rápido? También suena más agudo: guíate por el pulso.</translation>
    </message>
    <message>
        <source>your answer: {answer}</source>
        <translation>tu respuesta: {answer}</translation>
    </message>
    <message>
        <source>busier patterns that change at the turn</source>
        <translation>patrones más cargados que cambian con la frase</translation>
    </message>
    <message>
        <source>half time</source>
        <translation>a la mitad</translation>
    </message>
    <message>
        <source>double time</source>
        <translation>al doble</translation>
    </message>
    <message>
        <source>It was {feel}: {why}, whatever the hats played.</source>
        <translation>Iba {feel}: {why}, tocara lo que tocara el charles.</translation>
    </message>
    <message>
        <source>Tap what dancers move to: half time, as before, or double time.</source>
        <translation>Toca lo que se baila: a la mitad, como antes o al doble.</translation>
    </message>
    <message>
        <source>the drums return on the one of a bar; a voice counts until the silence</source>
        <translation>la batería vuelve en el uno de un compás; una voz cuenta hasta el silencio</translation>
    </message>
    <message>
        <source>the drums return on the one or the three</source>
        <translation>la batería vuelve en el uno o en el tres</translation>
    </message>
    <message>
        <source>the drums return on any beat</source>
        <translation>la batería vuelve en cualquier tiempo</translation>
    </message>
    <message>
        <source>a kick on every beat; the drums return on any beat</source>
        <translation>un bombo en cada tiempo; la batería vuelve en cualquier tiempo</translation>
    </message>
    <message>
        <source>any sign may announce the turn, in phrases of eight bars</source>
        <translation>cualquier señal puede anunciar el cambio, en frases de ocho compases</translation>
    </message>
    <message>
        <source>one fill comes in mid-phrase, in phrases of eight bars</source>
        <translation>un relleno llega a mitad de frase, en frases de ocho compases</translation>
    </message>
    <message>
        <source>The drums stop and return somewhere else in a phrase of {bars} bars. As soon as you know where you are, press on the one of a bar; then say which bar it was. The sooner, the better.</source>
        <translation>La batería se corta y vuelve en otro lugar de una frase de {bars} compases. En cuanto sepas dónde estás, pulsa en el uno de un compás; después di qué compás era. Cuanto antes, mejor.</translation>
    </message>
    <message>
        <source>bar {n}</source>
        <translation>compás {n}</translation>
    </message>
    <message>
        <source>No press came in. Wait for the turn: it is bar 1. Count from there, and press.</source>
        <translation>No llegó ninguna pulsación. Espera al cambio: es el compás 1. Cuenta desde ahí y pulsa.</translation>
    </message>
    <message>
        <source>You pressed before the drums came back. Press once they have returned.</source>
        <translation>Pulsaste antes de que volviera la batería. Pulsa cuando haya vuelto.</translation>
    </message>
    <message>
        <source>You pressed {off}: that was not a one. Find the beat that starts the bar, then the bar.</source>
        <translation>Pulsaste {off}: eso no era un uno. Encuentra el tiempo que abre el compás y después el compás.</translation>
    </message>
    <message>
        <source>It was bar {bar}, found at the first one after the drums came back.</source>
        <translation>Era el compás {bar}, encontrado en el primer uno tras volver la batería.</translation>
    </message>
    <message>
        <source>It was bar {bar}, found one bar after the drums came back.</source>
        <translation>Era el compás {bar}, encontrado un compás después de volver la batería.</translation>
    </message>
    <message>
        <source>It was bar {bar}, found {n} bars after the drums came back.</source>
        <translation>Era el compás {bar}, encontrado {n} compases después de volver la batería.</translation>
    </message>
    <message>
        <source>It was bar {bar}, not bar {said}.</source>
        <translation>Era el compás {bar}, no el {said}.</translation>
    </message>
    <message>
        <source>That is half a phrase off. The larger change is the turn of the phrase: bar 1.</source>
        <translation>Es media frase de diferencia. El cambio más grande es el de la frase: el compás 1.</translation>
    </message>
    <message>
        <source>Wait for the turn of the phrase: its bar is 1. Count the bars from there.</source>
        <translation>Espera al cambio de frase: su compás es el 1. Cuenta los compases desde ahí.</translation>
    </message>
    <message>
        <source>the drums came back</source>
        <translation>volvió la batería</translation>
    </message>
    <message>
        <source>Find the count again</source>
        <translation>Recupera la cuenta</translation>
    </message>
    <message>
        <source>The drums return anywhere: say which bar it is.</source>
        <translation>La batería vuelve donde sea: di qué compás es.</translation>
    </message>
    <message>
        <source>The drums stop and return anywhere. Press on a one, then say which bar it begins.</source>
        <translation>La batería se corta y vuelve en cualquier lugar. Pulsa en un uno y después di qué compás abre.</translation>
    </message>
    <message>
        <source>A second record comes in. Do both have the same one?</source>
        <translation>Entra un segundo disco. ¿Tienen los dos el mismo uno?</translation>
    </message>
    <message>
        <source>A second record comes in. Where is its one, against the first record&apos;s?</source>
        <translation>Entra un segundo disco. ¿Dónde está su uno, respecto al del primero?</translation>
    </message>
    <message>
        <source>on the same one</source>
        <translation>en el mismo uno</translation>
    </message>
    <message>
        <source>beats apart</source>
        <translation>en tiempos distintos</translation>
    </message>
    <message>
        <source>in the same bar of the phrase</source>
        <translation>en el mismo compás de la frase</translation>
    </message>
    <message>
        <source>half a bar apart</source>
        <translation>a medio compás</translation>
    </message>
    <message>
        <source>half a phrase apart</source>
        <translation>a media frase</translation>
    </message>
    <message>
        <source>one beat later</source>
        <translation>un tiempo después</translation>
    </message>
    <message>
        <source>{n} beats later</source>
        <translation>{n} tiempos después</translation>
    </message>
    <message>
        <source>one bar later</source>
        <translation>un compás después</translation>
    </message>
    <message>
        <source>{n} bars later</source>
        <translation>{n} compases después</translation>
    </message>
    <message>
        <source>one beat earlier</source>
        <translation>un tiempo antes</translation>
    </message>
    <message>
        <source>{n} beats earlier</source>
        <translation>{n} tiempos antes</translation>
    </message>
    <message>
        <source>one bar earlier</source>
        <translation>un compás antes</translation>
    </message>
    <message>
        <source>{n} bars earlier</source>
        <translation>{n} compases antes</translation>
    </message>
    <message>
        <source>the second record&apos;s one</source>
        <translation>el «uno» del segundo disco</translation>
    </message>
    <message>
        <source>the second record&apos;s phrase</source>
        <translation>la frase del segundo disco</translation>
    </message>
    <message>
        <source>It was {it}, not {said}.</source>
        <translation>Iba {it}, no {said}.</translation>
    </message>
    <message>
        <source>Count the first record aloud, and say the number on which the second starts its pattern.</source>
        <translation>Cuenta el primer disco en voz alta y di el número en el que el segundo empieza su patrón.</translation>
    </message>
    <message>
        <source>Count the bars of the first record, and remember in which of them the second turns.</source>
        <translation>Cuenta los compases del primer disco y recuerda en cuál de ellos cambia el segundo.</translation>
    </message>
    <message>
        <source>the same one, or one beat off; the sheet and a voice count the first record</source>
        <translation>el mismo uno, o a un tiempo; la hoja y una voz cuentan el primer disco</translation>
    </message>
    <message>
        <source>a kick on every beat below; the sheet counts the first record</source>
        <translation>debajo, un bombo en cada tiempo; la hoja cuenta el primer disco</translation>
    </message>
    <message>
        <source>without help; the second record may lie any number of beats off</source>
        <translation>sin ayuda; el segundo disco puede ir a cualquier número de tiempos</translation>
    </message>
    <message>
        <source>with bass and chords, and the second record is softer</source>
        <translation>con bajo y acordes, y el segundo disco más suave</translation>
    </message>
    <message>
        <source>any bar of a phrase of eight, with bass and chords</source>
        <translation>cualquier compás de una frase de ocho, con bajo y acordes</translation>
    </message>
    <message>
        <source>In line</source>
        <translation>¿Cuadran?</translation>
    </message>
    <message>
        <source>Say how far apart two records are.</source>
        <translation>Di a qué distancia van dos discos.</translation>
    </message>
    <message>
        <source>Two records play at once. Say whether they share the same one, or how far apart they are.</source>
        <translation>Suenan dos discos a la vez. Di si comparten el mismo uno o cuánto los separa.</translation>
    </message>
    <message>
        <source>The intro is on its way; then the song comes in. How many bars are left until then, with the one that begins?</source>
        <translation>La intro ya ha empezado; luego entra la canción. ¿Cuántos compases faltan, contando el que empieza?</translation>
    </message>
    <message>
        <source>{n} bars were left of the intro.</source>
        <translation>Faltaban {n} compases de intro.</translation>
    </message>
    <message>
        <source>You said {given}; the intro was {n} bars long.</source>
        <translation>Dijiste {given}; la intro duraba {n} compases.</translation>
    </message>
    <message>
        <source>You said {given}; {n} bars were left of the intro.</source>
        <translation>Dijiste {given}; faltaban {n} compases de intro.</translation>
    </message>
    <message>
        <source>That is one phrase short: the song comes in later, with bass and chords.</source>
        <translation>Te falta una frase: la canción entra después, con bajo y acordes.</translation>
    </message>
    <message>
        <source>That is one phrase too many: the song had come in already.</source>
        <translation>Te sobra una frase: la canción ya había entrado.</translation>
    </message>
    <message>
        <source>That is one bar short: say the number of the bar on its first beat, from 1 on.</source>
        <translation>Te falta un compás: di el número del compás en su primer tiempo, desde el 1.</translation>
    </message>
    <message>
        <source>That is one bar too many: the bar in which the song comes in is no longer the intro.</source>
        <translation>Te sobra un compás: aquel en el que entra la canción ya no es intro.</translation>
    </message>
    <message>
        <source>That is half of it: give every bar a number of its own.</source>
        <translation>Es la mitad: dale a cada compás su propio número.</translation>
    </message>
    <message>
        <source>That is twice as much: give every bar one number only.</source>
        <translation>Es el doble: dale a cada compás un solo número.</translation>
    </message>
    <message>
        <source>That is the number of beats: give every bar one number, as in 1 2 3 4, 2 2 3 4.</source>
        <translation>Ese es el número de tiempos: dale a cada compás un número, como en 1 2 3 4, 2 2 3 4.</translation>
    </message>
    <message>
        <source>That is {off} bars short: put up a finger for every phrase.</source>
        <translation>Te faltan {off} compases: levanta un dedo por cada frase.</translation>
    </message>
    <message>
        <source>the song came in</source>
        <translation>entró la canción</translation>
    </message>
    <message>
        <source>only a hint</source>
        <translation>solo un anticipo</translation>
    </message>
    <message>
        <source>That is {off} bars too many: the intro ends where bass and chords come in.</source>
        <translation>Te sobran {off} compases: la intro termina donde entran bajo y acordes.</translation>
    </message>
    <message>
        <source>That is {off} bars too many: the song had come in already.</source>
        <translation>Te sobran {off} compases: la canción ya había entrado.</translation>
    </message>
    <message>
        <source>The intro</source>
        <translation>La intro</translation>
    </message>
    <message>
        <source>Count the bars until the song comes in.</source>
        <translation>Cuenta los compases hasta que entre la canción.</translation>
    </message>
    <message>
        <source>Drums alone begin; then the song comes in, with bass and chords. How many bars was the intro?</source>
        <translation>Empieza sola la batería; después entra la canción, con bajo y acordes. ¿Cuántos compases duró la intro?</translation>
    </message>
    <message>
        <source>Bars</source>
        <translation>Compases</translation>
    </message>
    <message>
        <source>the outro began</source>
        <translation>empezó la outro</translation>
    </message>
    <message>
        <source>your intro ended</source>
        <translation>acabó tu intro</translation>
    </message>
    <message>
        <source>the phrase turned</source>
        <translation>la frase cambió</translation>
    </message>
    <message>
        <source>When the drums come back after the break, {bars} bars follow, then the outro. The next record has an intro of {intro} bars. Press once to start it so that its intro ends as the outro begins.</source>
        <translation>Cuando la batería vuelve después del break, siguen {bars} compases y luego la outro. El próximo disco tiene una intro de {intro} compases. Pulsa una vez para arrancarlo de modo que su intro termine cuando empieza la outro.</translation>
    </message>
    <message>
        <source>When the voice enters, a chorus of {bars} bars begins, then comes the outro. The next record has an intro of {intro} bars. Press once to start it so that its intro ends as the outro begins.</source>
        <translation>Cuando entra la voz, empieza un estribillo de {bars} compases y luego viene la outro. El próximo disco tiene una intro de {intro} compases. Pulsa una vez para arrancarlo de modo que su intro termine cuando empieza la outro.</translation>
    </message>
    <message>
        <source>a verse and a chorus instead of a break and a drop</source>
        <translation>una estrofa y un estribillo en vez de un break y un drop</translation>
    </message>
    <message>
        <source>phrases of eight bars, and the sound may begin on any beat</source>
        <translation>frases de ocho compases, y el sonido puede empezar en cualquier tiempo</translation>
    </message>
    <message>
        <source>Land the intro</source>
        <translation>Encaja la intro</translation>
    </message>
    <message>
        <source>Start the second record so that its intro ends at the outro.</source>
        <translation>Mete el segundo disco para que su intro acabe en la outro.</translation>
    </message>
    <message>
        <source>Press once to start the second record so that its intro ends exactly where the outro begins.</source>
        <translation>Pulsa una vez para arrancar el segundo disco de modo que su intro termine justo donde empieza la outro.</translation>
    </message>
    <message>
        <source>Press once to start the second record so that its intro ends as a phrase of the first turns.</source>
        <translation>Pulsa una vez para arrancar el segundo disco de modo que su intro termine cuando cambia una frase del primero.</translation>
    </message>
    <message>
        <source>You landed it: the intro ends as the outro begins</source>
        <translation>La encajaste: la intro termina cuando empieza la outro</translation>
    </message>
    <message>
        <source>You landed it: the intro ends as the phrase turns</source>
        <translation>La encajaste: la intro termina cuando cambia la frase</translation>
    </message>
    <message>
        <source>Count back from the turn as many bars as the intro has left: that is where to press.</source>
        <translation>Cuenta hacia atrás desde el cambio los compases que le quedan a la intro: ahí se pulsa.</translation>
    </message>
    <message>
        <source>the second or third of three phrases is two bars longer or shorter; a voice counts</source>
        <translation>la segunda o la tercera de tres frases tiene dos compases más o menos; una voz cuenta</translation>
    </message>
    <message>
        <source>two bars longer or shorter, without the voice</source>
        <translation>dos compases más larga o más corta, sin la voz</translation>
    </message>
    <message>
        <source>four phrases</source>
        <translation>cuatro frases</translation>
    </message>
    <message>
        <source>a single bar more or less</source>
        <translation>un solo compás más o menos</translation>
    </message>
    <message>
        <source>one or two bars, longer or shorter, on any groove</source>
        <translation>uno o dos compases más larga o más corta, con cualquier ritmo</translation>
    </message>
    <message>
        <source>first</source>
        <translation>la primera</translation>
    </message>
    <message>
        <source>second</source>
        <translation>la segunda</translation>
    </message>
    <message>
        <source>third</source>
        <translation>la tercera</translation>
    </message>
    <message>
        <source>fourth</source>
        <translation>la cuarta</translation>
    </message>
    <message>
        <source>{nth}, one bar longer</source>
        <translation>{nth}, un compás más</translation>
    </message>
    <message>
        <source>{nth}, {n} bars longer</source>
        <translation>{nth}, {n} compases más</translation>
    </message>
    <message>
        <source>{nth}, one bar shorter</source>
        <translation>{nth}, un compás menos</translation>
    </message>
    <message>
        <source>{nth}, {n} bars shorter</source>
        <translation>{nth}, {n} compases menos</translation>
    </message>
    <message>
        <source>It was the {answer}; the others had {n} bars.</source>
        <translation>Era {answer}; las demás tenían {n} compases.</translation>
    </message>
    <message>
        <source>You had by how much, but not which: put up a finger for every phrase that begins.</source>
        <translation>Acertaste en cuánto, pero no en cuál: levanta un dedo por cada frase que empieza.</translation>
    </message>
    <message>
        <source>You had the right phrase and the right way: count its bars, a number on every one.</source>
        <translation>Acertaste la frase y hacia dónde: cuenta sus compases, un número en cada «uno».</translation>
    </message>
    <message>
        <source>Count each phrase from 1 again and keep its last number in mind.</source>
        <translation>Cuenta cada frase otra vez desde 1 y recuerda su último número.</translation>
    </message>
    <message>
        <source>The odd phrase</source>
        <translation>La frase distinta</translation>
    </message>
    <message>
        <source>Find the phrase that is longer or shorter.</source>
        <translation>Encuentra la frase más larga o más corta.</translation>
    </message>
    <message>
        <source>{drill} is not practised on your own records: by their count all phrases are of one length.</source>
        <translation>{drill} no se practica con tus propios discos: según su cuenta, todas las frases son iguales de largas.</translation>
    </message>
    <message>
        <source>kick and snare take turns; the sheet and a voice count along</source>
        <translation>bombo y caja se turnan; la hoja y una voz cuentan contigo</translation>
    </message>
    <message>
        <source>the drums may start on any beat; the sheet counts along</source>
        <translation>la batería puede empezar en cualquier tiempo; la hoja cuenta contigo</translation>
    </message>
    <message>
        <source>the second kick comes early or late</source>
        <translation>el segundo bombo se adelanta o se retrasa</translation>
    </message>
    <message>
        <source>You were on {beat}. Listen for where the pattern starts again.</source>
        <translation>Estabas en {beat}. Busca dónde vuelve a empezar el patrón.</translation>
    </message>
    <message>
        <source>You lost it for the last {n}. Keep counting, even where the music changes.</source>
        <translation>Lo perdiste en los últimos {n}. Sigue contando, aunque cambie la música.</translation>
    </message>
    <message>
        <source>{drill} is not practised on your own records: their count does not tell where an outro begins.</source>
        <translation>{drill} no se practica con tus propios discos: su cuenta no dice dónde empieza una outro.</translation>
    </message>
    <message>
        <source>A phrase has {bars} bars. The music stops: which bar of the phrase was it, and which beat?</source>
        <translation>Una frase tiene {bars} compases. La música se para: ¿en qué compás de la frase, y en qué tiempo?</translation>
    </message>
    <message>
        <source>You had the right bar, but {given} for the beat. Count on until the last beat you hear.</source>
        <translation>Acertaste el compás, pero dijiste {given}. Cuenta hasta el último tiempo que oigas.</translation>
    </message>
    <message>
        <source>You were one beat back. Count until the last beat you hear.</source>
        <translation>Un tiempo de menos. Cuenta hasta el último tiempo que oigas.</translation>
    </message>
    <message>
        <source>Say in which bar, and on which beat, the music stopped.</source>
        <translation>Di en qué compás y en qué tiempo se paró la música.</translation>
    </message>
    <message>
        <source>The music stops. Which bar of the phrase was it, and which beat?</source>
        <translation>La música se para. ¿En qué compás de la frase, y en qué tiempo?</translation>
    </message>
    <message>
        <source>It stopped on {beat}, one beat after your answer. Count until the last beat you hear.</source>
        <translation>Se paró en {beat}, un tiempo después del que dijiste. Cuenta hasta el último tiempo que oigas.</translation>
    </message>
    <message>
        <source>It stopped on {beat}. You were half a bar off: start your count where the pattern starts again.</source>
        <translation>Se paró en {beat}. Ibas a medio compás: empieza la cuenta donde el patrón vuelve a empezar.</translation>
    </message>
    <message>
        <source>The music stops. On which beat of the bar did it stop?</source>
        <translation>La música se para. ¿En qué tiempo del compás se paró?</translation>
    </message>
    <message>
        <source>within {percent} %</source>
        <translation>con un {percent} % de margen</translation>
    </message>
    <message>
        <source>Tap every beat. When the music stops, say how many beats a minute it had.</source>
        <translation>Toca en cada tiempo. Cuando pare la música, di cuántos tiempos por minuto llevaba.</translation>
    </message>
    <message>
        <source>The music will fall silent for one bar. Count on, and tap only the one on which it comes back.</source>
        <translation>La música callará durante un compás. Sigue contando y toca solo el uno en el que vuelve.</translation>
    </message>
    <message>
        <source>The music will fall silent for {n} bars. Count on, and tap only the one on which it comes back.</source>
        <translation>La música callará durante {n} compases. Sigue contando y toca solo el uno en el que vuelve.</translation>
    </message>
    <message>
        <source>The music will fall silent for one bar. Tap its one, and the one on which it comes back.</source>
        <translation>La música callará durante un compás. Toca su uno y el uno en el que vuelve.</translation>
    </message>
    <message>
        <source>The music will fall silent for {n} bars. Tap the one of each silent bar, and the one of the return.</source>
        <translation>La música callará durante {n} compases. Toca el uno de cada compás en silencio y el uno de la vuelta.</translation>
    </message>
    <message>
        <source>The music will fall silent for one bar. Tap each of its beats, and the one of the return.</source>
        <translation>La música callará durante un compás. Toca todos sus tiempos y el uno de la vuelta.</translation>
    </message>
    <message>
        <source>The music will fall silent for {n} bars. Tap every beat of the silence, and the one of the return.</source>
        <translation>La música callará durante {n} compases. Toca todos los tiempos del silencio y el uno de la vuelta.</translation>
    </message>
    <message>
        <source>The music will fall silent for one bar. Count on, and tap only the one after it, a beat before the music is back.</source>
        <translation>La música callará durante un compás. Sigue contando y toca solo el uno que viene después, un tiempo antes de que vuelva.</translation>
    </message>
    <message>
        <source>The music will fall silent for {n} bars. Count on, and tap only the one after them, a beat before the music is back.</source>
        <translation>La música callará durante {n} compases. Sigue contando y toca solo el uno que viene después, un tiempo antes de que vuelva.</translation>
    </message>
    <message>
        <source>You had the one after one bar of silence; the music came a beat later.</source>
        <translation>Acertaste el uno después de un compás de silencio; la música llegó un tiempo más tarde.</translation>
    </message>
    <message>
        <source>You had the one after {n} bars of silence; the music came a beat later.</source>
        <translation>Acertaste el uno después de {n} compases de silencio; la música llegó un tiempo más tarde.</translation>
    </message>
    <message>
        <source>You came in one beat late, with the music. Count on, and tap the one before it is back.</source>
        <translation>Entraste con un tiempo de retraso, a la vez que la música. Sigue contando y toca el uno antes de que vuelva.</translation>
    </message>
    <message>
        <source>You came back in together with the music, after one bar of silence.</source>
        <translation>Volviste a entrar junto con la música, después de un compás de silencio.</translation>
    </message>
    <message>
        <source>You came back in together with the music, after {n} bars of silence.</source>
        <translation>Volviste a entrar junto con la música, después de {n} compases de silencio.</translation>
    </message>
    <message>
        <source>Your count ran slow in the silence, by about {ms} ms a bar. Keep your nod as large as with the music.</source>
        <translation>Tu cuenta se frenó en el silencio, unos {ms} ms por compás. Mueve la cabeza tanto como con la música.</translation>
    </message>
    <message>
        <source>You came in one bar late. The music comes back on the one right after the last silent bar.</source>
        <translation>Entraste con un compás de retraso. La música vuelve en el uno justo después del último compás en silencio.</translation>
    </message>
    <message>
        <source>You came in {n} bars late. The music comes back on the one right after the last silent bar.</source>
        <translation>Entraste con {n} compases de retraso. La música vuelve en el uno justo después del último compás en silencio.</translation>
    </message>
    <message>
        <source>You came in on {beat}, half a bar off. Start your count where the pattern starts again.</source>
        <translation>Entraste en {beat}, a medio compás. Empieza la cuenta donde el patrón vuelve a empezar.</translation>
    </message>
    <message>
        <source>You came in one beat late. Tap with the music as it comes back, not after it.</source>
        <translation>Entraste con un tiempo de retraso. Toca a la vez que vuelve la música, no después de oírla.</translation>
    </message>
    <message>
        <source>You came in {n} beats late. Tap with the music as it comes back, not after it.</source>
        <translation>Entraste con {n} tiempos de retraso. Toca a la vez que vuelve la música, no después de oírla.</translation>
    </message>
    <message>
        <source>Your taps came long after the music was back. Count the bars of the silence, and tap with its return.</source>
        <translation>Tus toques llegaron mucho después de que volviera la música. Cuenta los compases del silencio y toca cuando vuelva.</translation>
    </message>
    <message>
        <source>one silent bar</source>
        <translation>un compás en silencio</translation>
    </message>
    <message>
        <source>{n} silent bars</source>
        <translation>{n} compases en silencio</translation>
    </message>
    <message>
        <source>the music is back</source>
        <translation>vuelve la música</translation>
    </message>
    <message>
        <source>The music falls silent. Count on through it, and tap the one that follows.</source>
        <translation>La música calla. Sigue contando durante el silencio y toca el uno que viene después.</translation>
    </message>
    <message>
        <source>Your presses came when the music had stopped. Press while it sounds.</source>
        <translation>Tus pulsaciones llegaron cuando la música ya había parado. Pulsa mientras suena.</translation>
    </message>
    <message>
        <source>sheet and voice count along</source>
        <translation>la hoja y la voz cuentan contigo</translation>
    </message>
    <message>
        <source>the sheet counts along</source>
        <translation>la hoja cuenta contigo</translation>
    </message>
    <message>
        <source>a voice counts along</source>
        <translation>una voz cuenta contigo</translation>
    </message>
    <message>
        <source>a voice counts the first bars</source>
        <translation>una voz cuenta los primeros compases</translation>
    </message>
    <message>
        <source>{what}; {help}</source>
        <translation>{what}; {help}</translation>
    </message>
    <message>
        <source>Your taps came before the first that counts. Keep tapping until the music stops.</source>
        <translation>Tus toques llegaron antes del primero que cuenta. Sigue tocando hasta que pare la música.</translation>
    </message>
    <message>
        <source>Your taps came when the music had stopped. Tap while it sounds.</source>
        <translation>Tus toques llegaron cuando la música ya había parado. Toca mientras suena.</translation>
    </message>
    <message>
        <source>There were too few taps to say more. Keep tapping until the music stops.</source>
        <translation>Hubo muy pocos toques para decir más. Sigue tocando hasta que pare la música.</translation>
    </message>
    <message>
        <source>Your taps fell between the beats. Tap with the beat itself, not in the gap.</source>
        <translation>Tus toques cayeron entre los tiempos. Toca con el pulso mismo, no en el hueco.</translation>
    </message>
    <message>
        <source>You tapped faster than the beat. Listen for a bar first, then nod with the music and tap the nod.</source>
        <translation>Tocaste más rápido que el pulso. Escucha primero un compás; luego mueve la cabeza con la música y toca con ella.</translation>
    </message>
    <message>
        <source>Your taps came about {ms} ms early. Let the beat come to you.</source>
        <translation>Tus toques se adelantaron unos {ms} ms. Deja que el pulso llegue a ti.</translation>
    </message>
    <message>
        <source>Your taps came about {ms} ms late. Tap with the beat, not after it.</source>
        <translation>Tus toques se retrasaron unos {ms} ms. Toca a la vez que el pulso, no después de oírlo.</translation>
    </message>
    <message>
        <source>Each bar put you about {ms} ms further behind. Listen to the music while you tap.</source>
        <translation>Cada compás te dejó unos {ms} ms más atrás. Escucha la música mientras tocas.</translation>
    </message>
    <message>
        <source>Each bar put you about {ms} ms further ahead. Listen to the music while you tap.</source>
        <translation>Cada compás te adelantó unos {ms} ms más. Escucha la música mientras tocas.</translation>
    </message>
    <message>
        <source>You were a little slower than the music: about {ms} ms a bar later.</source>
        <translation>Ibas un poco más lento que la música: unos {ms} ms de retraso por compás.</translation>
    </message>
    <message>
        <source>You were a little faster than the music: about {ms} ms a bar earlier.</source>
        <translation>Ibas un poco más rápido que la música: unos {ms} ms de adelanto por compás.</translation>
    </message>
    <message>
        <source>You were slower than the music: about {ms} ms a bar later. Listen to the music while you tap.</source>
        <translation>Ibas más lento que la música: unos {ms} ms de retraso por compás. Escucha la música mientras tocas.</translation>
    </message>
    <message>
        <source>You were faster than the music: about {ms} ms a bar earlier. Listen to the music while you tap.</source>
        <translation>Ibas más rápido que la música: unos {ms} ms de adelanto por compás. Escucha la música mientras tocas.</translation>
    </message>
    <message>
        <source>You slowed down: your taps fell further and further behind. Listen to the music while you tap.</source>
        <translation>Te frenaste: tus toques se fueron quedando cada vez más atrás. Escucha la música mientras tocas.</translation>
    </message>
    <message>
        <source>You sped up: your taps ran further and further ahead. Listen to the music while you tap.</source>
        <translation>Te aceleraste: tus toques se fueron adelantando cada vez más. Escucha la música mientras tocas.</translation>
    </message>
    <message>
        <source>{path}: no process could be started to read it ({why}).</source>
        <translation>{path}: no se pudo iniciar un proceso para leerlo ({why}).</translation>
    </message>
    <message>
        <source>{path}: reading it broke off. The file is damaged, or of a rare kind.</source>
        <translation>{path}: la lectura se interrumpió. El archivo está dañado o es de un tipo raro.</translation>
    </message>
    <message>
        <source>{path}: reading it takes too long and was stopped.</source>
        <translation>{path}: la lectura tarda demasiado y se ha parado.</translation>
    </message>
    <message>
        <source>the computer was too busy for the sound ({figure} ms)</source>
        <translation>el ordenador estaba demasiado ocupado para el sonido ({figure} ms)</translation>
    </message>
    <message>
        <source>{title} has {bpm} BPM. Drills take {low} to {high}.</source>
        <translation>{title} tiene {bpm} BPM. Los ejercicios admiten de {low} a {high}.</translation>
    </message>
    <message>
        <source>{title} is too short for a phrase of {bars} bars.</source>
        <translation>{title} es demasiado corto para una frase de {bars} compases.</translation>
    </message>
    <message>
        <source>the backbeat stands on the three: half time</source>
        <translation>el backbeat está en el tres: a la mitad</translation>
    </message>
    <message>
        <source>You had the one every time: {targets} of {targets}.</source>
        <translation>Acertaste el uno todas las veces: {targets} de {targets}.</translation>
    </message>
    <message>
        <source>You had the one: {hits} of {targets}.</source>
        <translation>Llevabas el uno: {hits} de {targets}.</translation>
    </message>
    <message>
        <source>You had the one: {hits} of {targets}. You stopped {n} bars before the end.</source>
        <translation>Llevabas el uno: {hits} de {targets}. Paraste {n} compases antes del final.</translation>
    </message>
    <message>
        <source>The first {n} went by before you found it.</source>
        <translation>Los primeros {n} pasaron antes de que lo encontraras.</translation>
    </message>
    <message>
        <source>Drums begin, with a hint of the song here and there; then it comes in, with bass and chords together. How many bars was the intro?</source>
        <translation>Empieza la batería, con algún anticipo de la canción; después entra esta, con bajo y acordes juntos. ¿De cuántos compases fue la intro?</translation>
    </message>
    <message>
        <source>That was only a hint, one part alone: the song comes in with bass and chords together.</source>
        <translation>Eso era solo un anticipo, una parte sola: la canción entra con bajo y acordes juntos.</translation>
    </message>
    <message>
        <source>Your taps were in time, but on changing beats. Count aloud, and tap only when you say 1.</source>
        <translation>Tus toques iban a tempo, pero en tiempos distintos. Cuenta en voz alta y toca solo cuando digas 1.</translation>
    </message>
    <message>
        <source>You were on {beat}. The one comes one beat earlier.</source>
        <translation>Estabas en {beat}. El uno llega un tiempo antes.</translation>
    </message>
    <message>
        <source>You were on {beat}. Wait one beat more.</source>
        <translation>Estabas en {beat}. Espera un tiempo más.</translation>
    </message>
    <message>
        <source>The one</source>
        <translation>El uno</translation>
    </message>
    <message>
        <source>Tap only the one, the first beat of every bar.</source>
        <translation>Toca solo el uno, el primer tiempo de cada compás.</translation>
    </message>
    <message>
        <source>the voice counts the first two bars only</source>
        <translation>la voz cuenta solo los dos primeros compases</translation>
    </message>
    <message>
        <source>no voice: hear the phrase turn yourself</source>
        <translation>sin voz: oye tú cómo cambia la frase</translation>
    </message>
    <message>
        <source>half time, where a bar seems twice as long</source>
        <translation>a la mitad: un compás parece el doble de largo</translation>
    </message>
    <message>
        <source>It stopped in bar {bar}, on {beat}.</source>
        <translation>Se paró en el compás {bar}, en {beat}.</translation>
    </message>
    <message>
        <source>You had the right beat, half a phrase off. Listen for what changes where the phrase turns.</source>
        <translation>Acertaste el tiempo, pero a media frase. Fíjate en qué cambia cuando cambia la frase.</translation>
    </message>
    <message>
        <source>You had the right beat, one bar on. Count a bar only when its one has sounded.</source>
        <translation>Acertaste el tiempo, un compás de más. Cuenta un compás solo cuando ya ha sonado su uno.</translation>
    </message>
    <message>
        <source>You had the right beat, {n} bars on. Begin again with 1 where the phrase turns.</source>
        <translation>Acertaste el tiempo, {n} compases de más. Vuelve a empezar por 1 donde cambia la frase.</translation>
    </message>
    <message>
        <source>You had the right beat, one bar back. Say the number of the bar aloud on every one.</source>
        <translation>Acertaste el tiempo, un compás de menos. Di en voz alta el número del compás en cada «uno».</translation>
    </message>
    <message>
        <source>You had the right beat, {n} bars back. Begin again with 1 where the phrase turns.</source>
        <translation>Acertaste el tiempo, {n} compases de menos. Vuelve a empezar por 1 donde cambia la frase.</translation>
    </message>
    <message>
        <source>You were one beat on. Name the last beat you heard, not the beat to come.</source>
        <translation>Un tiempo de más. Di el último tiempo que oíste, no el que venía.</translation>
    </message>
    <message>
        <source>Say the number of the bar on every one: 1 2 3 4, 2 2 3 4, 3 2 3 4.</source>
        <translation>Di el número del compás en cada «uno»: 1 2 3 4, 2 2 3 4, 3 2 3 4.</translation>
    </message>
    <message>
        <source>The stopped bar</source>
        <translation>El compás de parada</translation>
    </message>
    <message>
        <source>kick and snare take turns; a voice counts the first two bars</source>
        <translation>bombo y caja se turnan; una voz cuenta los dos primeros compases</translation>
    </message>
    <message>
        <source>the voice counts one bar only</source>
        <translation>la voz cuenta solo un compás</translation>
    </message>
    <message>
        <source>no voice: find the one yourself</source>
        <translation>sin voz: encuentra tú el uno</translation>
    </message>
    <message>
        <source>bars of three, four or five beats</source>
        <translation>compases de tres, cuatro o cinco tiempos</translation>
    </message>
    <message>
        <source>It stopped on {beat}; {next} would have come next. Name the last beat you heard, not the beat to come.</source>
        <translation>Se paró en {beat}; después venía {next}. Di el último tiempo que oíste, no el que venía.</translation>
    </message>
    <message>
        <source>It stopped on {beat}, not on {given}. Count aloud from the first one on.</source>
        <translation>Se paró en {beat}, no en {given}. Cuenta en voz alta desde el primer uno.</translation>
    </message>
    <message>
        <source>The stopped beat</source>
        <translation>El tiempo de parada</translation>
    </message>
    <message>
        <source>within 10 %</source>
        <translation>con un 10 % de margen</translation>
    </message>
    <message>
        <source>kick and snare take turns; within 10 %</source>
        <translation>bombo y caja se turnan; con un 10 % de margen</translation>
    </message>
    <message>
        <source>within 6 %</source>
        <translation>con un 6 % de margen</translation>
    </message>
    <message>
        <source>within 5 %</source>
        <translation>con un 5 % de margen</translation>
    </message>
    <message>
        <source>You said {given}, which is half: count every beat, and it makes {tempo} BPM.</source>
        <translation>Dijiste {given}, que es la mitad: cuenta todos los tiempos y salen {tempo} BPM.</translation>
    </message>
    <message>
        <source>You said {given}, which is double: count only the beat, and it makes {tempo} BPM.</source>
        <translation>Dijiste {given}, que es el doble: cuenta solo el pulso y salen {tempo} BPM.</translation>
    </message>
    <message>
        <source>The tempo</source>
        <translation>El tempo</translation>
    </message>
    <message>
        <source>BPM</source>
        <translation>BPM</translation>
    </message>
    <message>
        <source>two silent bars; the voice stops with the drums, the sheet goes on</source>
        <translation>dos compases en silencio; la voz calla con la batería, la hoja sigue</translation>
    </message>
    <message>
        <source>two silent bars, a kick on every beat before; the sheet goes on</source>
        <translation>dos compases en silencio, antes un bombo en cada tiempo; la hoja sigue</translation>
    </message>
    <message>
        <source>two silent bars without help</source>
        <translation>dos compases en silencio, sin ayuda</translation>
    </message>
    <message>
        <source>eight silent bars, and nothing but the return to tap</source>
        <translation>ocho compases en silencio, y solo se toca la vuelta</translation>
    </message>
    <message>
        <source>Your count ran fast in the silence, by about {ms} ms a bar. Nod, and let the last beat ring out.</source>
        <translation>Tu cuenta corrió en el silencio, unos {ms} ms por compás. Mueve la cabeza y deja sonar el último tiempo hasta el final.</translation>
    </message>
    <message>
        <source>Your inner beat varied by about {clock_ms} ms, your hand by about {hand_ms} ms.</source>
        <translation>Tu pulso interior varió unos {clock_ms} ms; tu mano, unos {hand_ms} ms.</translation>
    </message>
    <message>
        <source>You came in one bar early. Say the number of each silent bar: 1 2 3 4, 2 2 3 4.</source>
        <translation>Entraste con un compás de adelanto. Di el número de cada compás en silencio: 1 2 3 4, 2 2 3 4.</translation>
    </message>
    <message>
        <source>You came in {n} bars early. Say the number of each silent bar: 1 2 3 4, 2 2 3 4.</source>
        <translation>Entraste con {n} compases de adelanto. Di el número de cada compás en silencio: 1 2 3 4, 2 2 3 4.</translation>
    </message>
    <message>
        <source>You came in one beat early. Count every beat of the silence, the last bar too.</source>
        <translation>Entraste con un tiempo de adelanto. Cuenta todos los tiempos del silencio, también los del último compás.</translation>
    </message>
    <message>
        <source>You came in {n} beats early. Count every beat of the silence, the last bar too.</source>
        <translation>Entraste con {n} tiempos de adelanto. Cuenta todos los tiempos del silencio, también los del último compás.</translation>
    </message>
    <message>
        <source>Your tap fell beside the one. Keep nodding all through the silence, then tap with the nod.</source>
        <translation>Tu toque cayó al lado del uno. Mueve la cabeza durante todo el silencio y toca con ese movimiento.</translation>
    </message>
    <message>
        <source>You met the return, but tapped around it as well. Count, and tap only the one.</source>
        <translation>Acertaste la vuelta, pero también tocaste alrededor. Cuenta y toca solo el uno.</translation>
    </message>
    <message>
        <source>You met the return, but only {hits} of {targets} in all. Keep tapping through the silence.</source>
        <translation>Acertaste la vuelta, pero solo {hits} de {targets} en total. Sigue tocando durante el silencio.</translation>
    </message>
    <message>
        <source>Through the silence</source>
        <translation>A través del silencio</translation>
    </message>
    <message>
        <source>one fill comes in mid-phrase, where nothing turns</source>
        <translation>un relleno llega a mitad de frase, donde no cambia nada</translation>
    </message>
    <message>
        <source>four, eight or sixteen bars</source>
        <translation>cuatro, ocho o dieciséis compases</translation>
    </message>
    <message>
        <source>No press came in. Press once, on the first beat of every new phrase.</source>
        <translation>No llegó ninguna pulsación. Pulsa una vez, en el primer tiempo de cada frase nueva.</translation>
    </message>
    <message>
        <source>You caught every turn: {hits} of {targets}.</source>
        <translation>Acertaste todos los cambios: {hits} de {targets}.</translation>
    </message>
    <message>
        <source>You caught the turn.</source>
        <translation>Acertaste el cambio.</translation>
    </message>
    <message>
        <source>None of your presses met a turn.</source>
        <translation>Ninguna de tus pulsaciones dio en un cambio.</translation>
    </message>
    <message>
        <source>The phrases are {n} bars long.</source>
        <translation>Las frases duran {n} compases.</translation>
    </message>
    <message>
        <source>You pressed every {k} bars. These phrases are {n} bars long: count on to the end.</source>
        <translation>Pulsaste cada {k} compases. Estas frases duran {n} compases: cuenta hasta el final.</translation>
    </message>
    <message>
        <source>You pressed in every bar. A phrase is longer: these turn after {n} bars.</source>
        <translation>Pulsaste en cada compás. Una frase es más larga: estas cambian cada {n} compases.</translation>
    </message>
    <message>
        <source>You pressed far more often than the phrases turn. Press only when {n} bars have passed.</source>
        <translation>Pulsaste mucho más a menudo de lo que cambian las frases. Pulsa solo cuando hayan pasado {n} compases.</translation>
    </message>
    <message>
        <source>One turn came without a sign. Only the count finds it: these phrases are {n} bars long.</source>
        <translation>Un cambio llegó sin señal. Solo la cuenta lo encuentra: estas frases duran {n} compases.</translation>
    </message>
    <message>
        <source>Count the bars, a number on every one: these phrases turn after {n}.</source>
        <translation>Cuenta los compases, un número en cada «uno»: estas frases cambian cada {n}.</translation>
    </message>
    <message>
        <source>The turn of the phrase</source>
        <translation>El cambio de frase</translation>
    </message>
    <message>
        <source>Press once as each new phrase begins. The first turn is for finding out how long the phrases are.</source>
        <translation>Pulsa una vez cuando empiece cada frase nueva. El primer cambio sirve para averiguar cuánto duran las frases.</translation>
    </message>
    <message>
        <source>below {high} BPM</source>
        <translation>menos de {high} BPM</translation>
    </message>
    <message>
        <source>{low} to {high} BPM</source>
        <translation>de {low} a {high} BPM</translation>
    </message>
    <message>
        <source>{low} BPM and more</source>
        <translation>{low} BPM o más</translation>
    </message>
    <message>
        <source>The last trial in the logbook is of {day}, and by this computer today is {today}: please check its clock.</source>
        <translation>La última prueba del cuaderno es del {day}, y según este ordenador hoy es {today}: comprueba su reloj.</translation>
    </message>
    <message>
        <source>No mistake stands out.</source>
        <translation>No destaca ningún error.</translation>
    </message>
    <message>
        <source>Today&apos;s copy of the logbook could not be made: {why}</source>
        <translation>No se pudo hacer la copia de hoy del cuaderno: {why}</translation>
    </message>
    <message>
        <source>The logbook is damaged in places. What is practised now is kept; start the program again to have it mended.</source>
        <translation>El cuaderno está dañado en algunas partes. Lo que se practica ahora se guarda; vuelve a arrancar el programa para repararlo.</translation>
    </message>
    <message>
        <source>Next on the ladder: {asks}</source>
        <translation>Lo siguiente en la escalera. {asks}</translation>
    </message>
    <message>
        <source>{learner}: {trials} in {weeks}, {minutes} of practice.</source>
        <translation>{learner}: {trials} en {weeks}, {minutes} de práctica.</translation>
    </message>
    <message>
        <source>The equipment adds {lag} ± {error} ms.</source>
        <translation>El equipo añade {lag} ± {error} ms.</translation>
    </message>
    <message>
        <source>1 trial</source>
        <translation>1 prueba</translation>
    </message>
    <message>
        <source>{n} trials</source>
        <translation>{n} pruebas</translation>
    </message>
    <message>
        <source>1 week</source>
        <translation>1 semana</translation>
    </message>
    <message>
        <source>{n} weeks</source>
        <translation>{n} semanas</translation>
    </message>
    <message>
        <source>1 minute</source>
        <translation>1 minuto</translation>
    </message>
    <message>
        <source>The sound stumbled while it was being measured: the computer was busy. Try again.</source>
        <translation>El sonido tropezó durante la medición: el ordenador estaba ocupado. Inténtalo de nuevo.</translation>
    </message>
    <message>
        <source>{n} minutes</source>
        <translation>{n} minutos</translation>
    </message>
    <message>
        <source>No spread is measured in this drill: the level tells how far you have come.</source>
        <translation>En este ejercicio no se mide la dispersión: el nivel dice hasta dónde has llegado.</translation>
    </message>
    <message>
        <source>No change of the spread stands out from the ups and downs of the days.</source>
        <translation>Ningún cambio de la dispersión destaca entre los altibajos de los días.</translation>
    </message>
    <message>
        <source>Lately {percent} % of {asked} answers were right (95 %: {low} to {high} %).</source>
        <translation>Últimamente acertaste el {percent} % de {asked} respuestas (95 %: de {low} a {high} %).</translation>
    </message>
    <message>
        <source>At present rung {rung} of {rungs} suits you, give or take {give}.</source>
        <translation>Ahora te conviene el peldaño {rung} de {rungs}, con un margen de {give}.</translation>
    </message>
    <message>
        <source>At present rung {rung} of {rungs} suits you best; a few more answers will tell more surely.</source>
        <translation>Ahora el peldaño {rung} de {rungs} es el que mejor te va; unas respuestas más lo dirán con más seguridad.</translation>
    </message>
    <message>
        <source>The device or its calibration changed {n} times; what changed with it is not counted as progress.</source>
        <translation>El equipo o su calibración cambió {n} veces; lo que cambió con ello no cuenta como progreso.</translation>
    </message>
    <message>
        <source>The device or its calibration changed once; what changed with it is not counted as progress.</source>
        <translation>El equipo o su calibración cambió una vez; lo que cambió con ello no cuenta como progreso.</translation>
    </message>
    <message>
        <source>Lately your taps came {ms} ms {way} on average (95 %: {low} to {high} ms).</source>
        <translation>Últimamente tus toques llegaron de media con {ms} ms {way} (95 %: de {low} a {high} ms).</translation>
    </message>
    <message>
        <source>early</source>
        <translation>de adelanto</translation>
    </message>
    <message>
        <source>late</source>
        <translation>de retraso</translation>
    </message>
    <message>
        <source>{trouble} Practice goes on; saving is tried again after the next trial.</source>
        <translation>{trouble} La práctica sigue; se intentará guardar de nuevo después de la próxima prueba.</translation>
    </message>
    <message>
        <source>bars of three, four or five beats, and little time to find the beat</source>
        <translation>compases de tres, cuatro o cinco tiempos, y poco rato para encontrar el pulso</translation>
    </message>
    <message>
        <source>one phrase is six bars long; only the next three turns count</source>
        <translation>una frase dura seis compases; solo cuentan los tres próximos cambios</translation>
    </message>
    <message>
        <source>up to sixteen bars before the outro; the sheet counts along</source>
        <translation>hasta dieciséis compases antes de la outro; la hoja cuenta contigo</translation>
    </message>
    <message>
        <source>You had the one of every second bar. Every bar has a one: tap each of them.</source>
        <translation>Diste con el uno en uno de cada dos compases. Cada compás tiene su uno: tócalos todos.</translation>
    </message>
    <message>
        <source>You tapped every beat. Count them, and tap only when you say 1.</source>
        <translation>Tocaste en todos los tiempos. Cuéntalos y toca solo al decir 1.</translation>
    </message>
    <message>
        <source>Your taps came before the silence. Count on through it, and tap what is asked.</source>
        <translation>Tus toques llegaron antes del silencio. Sigue contando durante él y toca lo que se pide.</translation>
    </message>
    <message>
        <source>You met the return, but tapped more than the beat. Nod, and tap once with every nod.</source>
        <translation>Acertaste la vuelta, pero tocaste más que el pulso. Mueve la cabeza y toca una vez con cada movimiento.</translation>
    </message>
    <message>
        <source>a false fill, a silent turn, and a start anywhere</source>
        <translation>un relleno falso, un cambio callado y un comienzo en cualquier sitio</translation>
    </message>
    <message>
        <source>You were {off}.</source>
        <translation>Llegaste con {off}.</translation>
    </message>
    <message>
        <source>Your presses came about {off}.</source>
        <translation>Tus pulsaciones llegaron con {off}, más o menos.</translation>
    </message>
    <message>
        <source>The microphone is too loud and cuts the sound off. Turn its level down, and try again.</source>
        <translation>El micrófono está demasiado alto y recorta el sonido. Baja su nivel y vuelve a intentarlo.</translation>
    </message>
    <message>
        <source>The microphone did not hear the clicks. Turn the volume up a little, or bring it nearer to the speaker.</source>
        <translation>El micrófono no oyó los clics. Sube un poco el volumen o acércalo al altavoz.</translation>
    </message>
    <message>
        <source>The room is too noisy to hear the key. Try again when it is quieter, or press more firmly.</source>
        <translation>Hay demasiado ruido en la habitación para oír la tecla. Inténtalo cuando haya más silencio o pulsa con más firmeza.</translation>
    </message>
    <message>
        <source>The clicks were heard, but no key. Press more firmly, and put the microphone near the keyboard.</source>
        <translation>Se oyeron los clics, pero ninguna tecla. Pulsa con más firmeza y pon el micrófono cerca del teclado.</translation>
    </message>
    <message>
        <source>The taps and the sounds of the key did not agree. Press one key firmly, with nothing else sounding.</source>
        <translation>Los toques y los sonidos de la tecla no coincidían. Pulsa una sola tecla con firmeza, sin que suene nada más.</translation>
    </message>
    <message>
        <source>To warm up: something that goes well by now gets ear and hand going.</source>
        <translation>Para calentar: algo que ya sale bien pone en marcha el oído y la mano.</translation>
    </message>
    <message>
        <source>To begin with: listen and count along, nothing is marked.</source>
        <translation>Para empezar: escucha y cuenta; no se evalúa nada.</translation>
    </message>
    <message>
        <source>Last practised {n} days ago, and it fades by now: a few trials bring it back.</source>
        <translation>Lo practicaste por última vez hace {n} días y ya se va perdiendo: unas cuantas pruebas lo devuelven.</translation>
    </message>
    <message>
        <source>There is time left, and this is what comes back next.</source>
        <translation>Queda tiempo, y esto es lo que vuelve después.</translation>
    </message>
    <message>
        <source>Your answers say to begin here: {asks}</source>
        <translation>Según tus respuestas, empieza aquí. {asks}</translation>
    </message>
    <message>
        <source>without help; a kick on every beat</source>
        <translation>sin ayuda; un bombo en cada tiempo</translation>
    </message>
    <message>
        <source>kick and snare sound more alike</source>
        <translation>el bombo y la caja se parecen más</translation>
    </message>
    <message>
        <source>kick and snare much alike, after one bar</source>
        <translation>el bombo y la caja muy parecidos, tras un compás</translation>
    </message>
    <message>
        <source>kick or snare, as alike as can be</source>
        <translation>bombo o caja, tan parecidos como pueden ser</translation>
    </message>
    <message>
        <source>A groove, then one drum alone: was it the kick, or was it the snare or clap?</source>
        <translation>Un ritmo y después un golpe solo: ¿era el bombo, o era la caja o la palmada?</translation>
    </message>
    <message>
        <source>First the kick, then the snare. Then a groove, and kick or snare alone: which was it?</source>
        <translation>Primero el bombo y luego la caja. Después un ritmo, y el bombo o la caja a solas: ¿cuál era?</translation>
    </message>
    <message>
        <source>You chose {given}, which is {sound}. Hear it again, and compare.</source>
        <translation>Elegiste {given}: {sound}. Óyelo otra vez y compara.</translation>
    </message>
    <message>
        <source>10 % faster, in patterns that may differ</source>
        <translation>10 % más rápido, con patrones que pueden ser distintos</translation>
    </message>
    <message>
        <source>That is about as little as people hear, so a miss is no surprise.</source>
        <translation>Es casi lo mínimo que se puede oír, así que un fallo no sorprende.</translation>
    </message>
    <message>
        <source>A busier pattern can seem faster than it is. Listen to the beat alone.</source>
        <translation>Un patrón más cargado puede parecer más rápido de lo que es. Escucha solo el pulso.</translation>
    </message>
    <message>
        <source>You hear two excerpts with a pause between them. Which is faster?</source>
        <translation>Oyes dos fragmentos con una pausa en medio. ¿Cuál va más rápido?</translation>
    </message>
    <message>
        <source>half time, or as before</source>
        <translation>a la mitad, o como antes</translation>
    </message>
    <message>
        <source>as before, or double time</source>
        <translation>como antes, o al doble</translation>
    </message>
    <message>
        <source>half time, as before, or double time</source>
        <translation>a la mitad, como antes o al doble</translation>
    </message>
    <message>
        <source>patterns with and without a kick on every beat</source>
        <translation>patrones con y sin un bombo en cada tiempo</translation>
    </message>
    <message>
        <source>only two bars before the turn</source>
        <translation>solo dos compases antes del cambio</translation>
    </message>
    <message>
        <source>busier patterns</source>
        <translation>patrones más cargados</translation>
    </message>
    <message>
        <source>the pattern changes at the turn</source>
        <translation>el patrón también cambia con la frase</translation>
    </message>
    <message>
        <source>two bars before the turn, six bars after the turn</source>
        <translation>dos compases antes del cambio, seis después</translation>
    </message>
    <message>
        <source>as before</source>
        <translation>como antes</translation>
    </message>
    <message>
        <source>snare or clap came half as often</source>
        <translation>la caja o la palmada llegaba la mitad de veces</translation>
    </message>
    <message>
        <source>snare or clap came as often as before</source>
        <translation>la caja o la palmada llegaba tantas veces como antes</translation>
    </message>
    <message>
        <source>snare or clap came twice as often</source>
        <translation>la caja o la palmada llegaba el doble de veces</translation>
    </message>
    <message>
        <source>Groove {name} has steps too fine for double time. Choose another groove.</source>
        <translation>El ritmo {name} tiene pasos demasiado finos para ir al doble. Elige otro.</translation>
    </message>
    <message>
        <source>It was {feel}: {why}.</source>
        <translation>Iba {feel}: {why}.</translation>
    </message>
    <message>
        <source>You kept to the beat from before the turn: let the snare or clap fall on every second tap.</source>
        <translation>Te quedaste en el pulso de antes del cambio: haz que la caja o la palmada caiga en uno de cada dos toques.</translation>
    </message>
    <message>
        <source>Your taps had it, your answer did not: it was {feel}. Trust your taps.</source>
        <translation>Tus toques lo tenían, tu respuesta no: iba {feel}. Fíate de tus toques.</translation>
    </message>
    <message>
        <source>The feel</source>
        <translation>La sensación</translation>
    </message>
    <message>
        <source>The drums begin plainly. After the turn, tap the beat that dancers would move to. Then say: was it half time, as before, or double time?</source>
        <translation>La batería empieza sencilla. Después del cambio, toca el pulso con el que se movería la pista. Luego di: ¿iba a la mitad, como antes o al doble?</translation>
    </message>
    <message>
        <source>A second record comes in, on the same one. When does its phrase turn, against the first record&apos;s?</source>
        <translation>Entra un segundo disco, en el mismo uno. ¿Cuándo cambia su frase, respecto a la del primero?</translation>
    </message>
    <message>
        <source>The second record was {it}.</source>
        <translation>El segundo disco iba {it}.</translation>
    </message>
    <message>
        <source>On the same one, snares and claps fall together: listen for a snare or clap on the other record&apos;s kick.</source>
        <translation>En el mismo uno, las cajas y palmadas caen juntas: fíjate si una caja o palmada cae sobre el bombo del otro disco.</translation>
    </message>
    <message>
        <source>say where the second record is: a beat earlier or a beat later</source>
        <translation>di dónde va el segundo disco: un tiempo antes o un tiempo después</translation>
    </message>
    <message>
        <source>a beat earlier, a beat later, or half a bar off</source>
        <translation>un tiempo antes, un tiempo después, o a medio compás</translation>
    </message>
    <message>
        <source>on the same one: how many bars of the phrase lie between the records?</source>
        <translation>en el mismo uno: ¿cuántos compases de la frase hay entre los discos?</translation>
    </message>
    <message>
        <source>any bar of a phrase of eight</source>
        <translation>cualquier compás de una frase de ocho</translation>
    </message>
    <message>
        <source>{given} bars: an intro has at least one bar.</source>
        <translation>{given} compases: una intro tiene al menos un compás.</translation>
    </message>
    <message>
        <source>The intro was {n} bars long.</source>
        <translation>La intro duraba {n} compases.</translation>
    </message>
    <message>
        <source>intros of six, ten or twelve bars, up to thirty-two bars before the outro</source>
        <translation>intros de seis, diez o doce compases, con hasta treinta y dos compases antes de la outro</translation>
    </message>
    <message>
        <source>Subtract the intro&apos;s bars from the bars that are left: what remains is how many bars to count before pressing.</source>
        <translation>Resta los compases de la intro de los que faltan: lo que queda son los compases que hay que contar antes de pulsar.</translation>
    </message>
    <message>
        <source>the odd phrase may be the first</source>
        <translation>la frase distinta puede ser la primera</translation>
    </message>
    <message>
        <source>no crash on the turn, with bass and chords</source>
        <translation>sin crash en el cambio, con bajo y acordes</translation>
    </message>
    <message>
        <source>phrases of eight bars, two bars more or less</source>
        <translation>frases de ocho compases, dos más o menos</translation>
    </message>
    <message>
        <source>phrases of eight bars, a single bar more or less</source>
        <translation>frases de ocho compases, un solo compás más o menos</translation>
    </message>
    <message>
        <source>You had the right phrase, the wrong way round: a short phrase turns before you expect it.</source>
        <translation>Acertaste la frase, pero al revés: una frase corta cambia antes de lo que esperas.</translation>
    </message>
    <message>
        <source>One phrase is longer or shorter than the rest. Which, and by how many bars? The unfinished phrase at the end does not count.</source>
        <translation>Una frase es más larga o más corta que las demás. ¿Cuál, y por cuántos compases? La frase sin acabar del final no cuenta.</translation>
    </message>
    <message>
        <source>a single bar to find the beat, in a whole song</source>
        <translation>un solo compás para encontrar el tiempo, en una canción entera</translation>
    </message>
    <message>
        <source>the drums are alike on one and three: bass and chords show the one</source>
        <translation>la batería suena igual en el uno y en el tres: el bajo y los acordes muestran el uno</translation>
    </message>
    <message>
        <source>{groove} usually has {usual} BPM, so the tempo is {usual} now.</source>
        <translation>«{groove}» suele ir a {usual} BPM: ese es ahora el tempo.</translation>
    </message>
    <message>
        <source>The tempo stays at {bpm}, as you set it; {groove} usually has {usual} BPM.</source>
        <translation>El tempo sigue en {bpm}, como lo pusiste; «{groove}» suele ir a {usual} BPM.</translation>
    </message>
    <message>
        <source>This trial has more bars than a sheet can show, and is not opened.</source>
        <translation>Esta prueba tiene más compases de los que caben en una hoja, y no se abre.</translation>
    </message>
    <message>
        <source>{label} is added. Choose on the page Practise who practises.</source>
        <translation>Se ha añadido a {label}. En la página Practicar se elige quién practica.</translation>
    </message>
    <message>
        <source>Nothing is being saved at present. No learner can be added.</source>
        <translation>Ahora no se guarda nada. No se puede añadir ningún alumno.</translation>
    </message>
    <message>
        <source>it was</source>
        <translation>era</translation>
    </message>
    <message>
        <source>The second record ran ahead: it was {percent} % faster, {ms} ms ahead at the end.</source>
        <translation>El segundo disco se adelantaba: era un {percent} % más rápido y al final iba {ms} ms por delante.</translation>
    </message>
    <message>
        <source>The second record fell behind: it was {percent} % slower, {ms} ms behind at the end.</source>
        <translation>El segundo disco se quedaba atrás: era un {percent} % más lento y al final iba {ms} ms por detrás.</translation>
    </message>
    <message>
        <source>{ms} ms ahead here</source>
        <translation>aquí {ms} ms por delante</translation>
    </message>
    <message>
        <source>{ms} ms behind here</source>
        <translation>aquí {ms} ms por detrás</translation>
    </message>
    <message>
        <source>{which}, {tempo} BPM</source>
        <translation>{which}, {tempo} BPM</translation>
    </message>
    <message>
        <source>{drill} is not practised on your own records: their count is the same in half time and double time.</source>
        <translation>{drill} no se practica con tus propios discos: su cuenta es la misma a la mitad y al doble.</translation>
    </message>
    <message>
        <source>You pressed after the one, in answer to the drum. Count on, and press with the one itself.</source>
        <translation>Pulsaste después del uno, en respuesta a la batería. Sigue contando y pulsa con el uno mismo.</translation>
    </message>
    <message>
        <source>The first record&apos;s phrases have {phrase} bars. Of the next record&apos;s intro {intro} bars are left. Press once to start it so that its intro ends as a phrase turns.</source>
        <translation>Las frases del primer disco tienen {phrase} compases. De la intro del siguiente quedan {intro} compases. Pulsa una vez para lanzarlo, de modo que su intro acabe cuando cambia una frase.</translation>
    </message>
    <message>
        <source>the others</source>
        <translation>las demás</translation>
    </message>
    <message>
        <source>{nth}: {bars}</source>
        <translation>{nth}: {bars}</translation>
    </message>
    <message>
        <source>Your taps were in time, but on changing beats. Count aloud, and let 1 fall on the kick.</source>
        <translation>Tus toques iban a tiempo, pero en tiempos distintos. Cuenta en voz alta y haz que el 1 caiga en el bombo.</translation>
    </message>
    <message>
        <source>You tapped twice a bar, on {beats}. Tap only where the count starts.</source>
        <translation>Tocaste dos veces por compás, en {beats}. Toca solo donde empieza la cuenta.</translation>
    </message>
    <message>
        <source>You were on {beat}. The one comes one beat earlier, on the kick.</source>
        <translation>Estabas en {beat}. El uno llega un tiempo antes, con el bombo.</translation>
    </message>
    <message>
        <source>You were on {beat}. Start your count on the kick.</source>
        <translation>Estabas en {beat}. Empieza la cuenta en el bombo.</translation>
    </message>
    <message>
        <source>You were on {beat}. Wait one beat more, for the kick.</source>
        <translation>Estabas en {beat}. Espera un tiempo más, hasta el bombo.</translation>
    </message>
    <message>
        <source>You started on {first} and ended on {second}. Keep counting; the one does not move.</source>
        <translation>Empezaste en {first} y terminaste en {second}. Sigue contando: el uno no se mueve.</translation>
    </message>
    <message>
        <source>Tap only the one.</source>
        <translation>Toca solo el uno.</translation>
    </message>
    <message>
        <source>a voice counts, a fill or a crash announces the outro, and a press has a bar</source>
        <translation>una voz cuenta, un relleno o un crash anuncia la outro y hay un compás para pulsar</translation>
    </message>
    <message>
        <source>without the voice; a fill or a crash announces the outro</source>
        <translation>sin la voz; un relleno o un crash anuncia la outro</translation>
    </message>
    <message>
        <source>two beats to press</source>
        <translation>dos tiempos para pulsar</translation>
    </message>
    <message>
        <source>a break comes first, from which the song returns</source>
        <translation>antes llega un break, tras el que vuelve la canción</translation>
    </message>
    <message>
        <source>any sign may announce the turns</source>
        <translation>cualquier señal puede anunciar los cambios</translation>
    </message>
    <message>
        <source>one beat to press: what comes must be foreseen</source>
        <translation>un tiempo para pulsar: hay que prever lo que viene</translation>
    </message>
    <message>
        <source>one fill comes in mid-phrase, where nothing turns; one beat to press</source>
        <translation>un relleno llega a mitad de frase, donde no cambia nada; un tiempo para pulsar</translation>
    </message>
    <message>
        <source>no sign announces the turns, and a break comes first; one beat to press</source>
        <translation>ninguna señal anuncia los cambios y antes llega un break; un tiempo para pulsar</translation>
    </message>
    <message>
        <source>the break</source>
        <translation>el break</translation>
    </message>
    <message>
        <source>No press came in. Press once, when the song goes and the drums stay.</source>
        <translation>No llegó ninguna pulsación. Pulsa una vez, cuando la canción se va y la batería se queda.</translation>
    </message>
    <message>
        <source>You had the outro, on its one.</source>
        <translation>Tenías la outro, en su uno.</translation>
    </message>
    <message>
        <source>You had the outro, {off}.</source>
        <translation>Tenías la outro, {off}.</translation>
    </message>
    <message>
        <source>It can be foreseen: count the bars of the phrase, and press on the one that follows.</source>
        <translation>Se puede prever: cuenta los compases de la frase y pulsa en el uno que sigue.</translation>
    </message>
    <message>
        <source>You pressed {off}: the outro had begun. Count the bars, and expect a change on every turn.</source>
        <translation>Pulsaste {off}: la outro había empezado. Cuenta los compases y prepárate en cada cambio de frase.</translation>
    </message>
    <message>
        <source>You pressed {off}: the song went on. Wait until bass and chords have gone.</source>
        <translation>Pulsaste {off}: la canción seguía. Espera a que se vayan el bajo y los acordes.</translation>
    </message>
    <message>
        <source>You pressed at the break: the kick had gone as well, and the song came back. In an outro the drums stay.</source>
        <translation>Pulsaste en el break: también se había ido el bombo y la canción volvió. En una outro la batería se queda.</translation>
    </message>
    <message>
        <source>The outro</source>
        <translation>La outro</translation>
    </message>
    <message>
        <source>Press once as the song goes and the drums stay.</source>
        <translation>Pulsa una vez cuando se vaya la canción y quede la batería.</translation>
    </message>
    <message>
        <source>At the end the song goes and the drums stay: that is the outro. Press once as it begins.</source>
        <translation>Al final la canción se va y la batería se queda: eso es la outro. Pulsa una vez cuando empiece.</translation>
    </message>
    <message>
        <source>phrases of four bars; a voice counts the first four bars</source>
        <translation>frases de cuatro compases; una voz cuenta los cuatro primeros</translation>
    </message>
    <message>
        <source>a voice counts to the end; nothing is marked</source>
        <translation>una voz cuenta hasta el final; no se corrige nada</translation>
    </message>
    <message>
        <source>It stopped on {beat}.</source>
        <translation>Se paró en {beat}.</translation>
    </message>
    <message>
        <source>It stopped on {beat}. You were half a bar off: start your count on the kick.</source>
        <translation>Se paró en {beat}. Ibas a medio compás: empieza la cuenta en el bombo.</translation>
    </message>
    <message>
        <source>It stopped on {beat}, not on {given}. Count aloud from the first kick on.</source>
        <translation>Se paró en {beat}, no en {given}. Cuenta en voz alta desde el primer bombo.</translation>
    </message>
    <message>
        <source>a kick on every beat, within 12 %</source>
        <translation>un bombo en cada tiempo, con un 12 % de margen</translation>
    </message>
    <message>
        <source>a kick on every beat or a backbeat, within 8 %</source>
        <translation>un bombo en cada tiempo o un backbeat, con un 8 % de margen</translation>
    </message>
    <message>
        <source>{given} BPM: a tempo is more than 0.</source>
        <translation>{given} BPM: un tempo es más que 0.</translation>
    </message>
    <message>
        <source>It was {tempo} BPM.</source>
        <translation>Eran {tempo} BPM.</translation>
    </message>
    <message>
        <source>You said {given}, it was {tempo} BPM.</source>
        <translation>Dijiste {given}, eran {tempo} BPM.</translation>
    </message>
    <message>
        <source>You said {given}, and {tempo} BPM is the same beat twice as slow or as fast: both may be felt.</source>
        <translation>Has dicho {given}, y {tempo} BPM es el mismo pulso al doble o a la mitad: los dos se pueden sentir.</translation>
    </message>
    <message>
        <source>You said {given}; it was {percent} % faster, {tempo} BPM. Count the beats of ten seconds, and multiply by six.</source>
        <translation>Dijiste {given}; iba un {percent} % más rápido, a {tempo} BPM. Cuenta los tiempos de diez segundos y multiplica por seis.</translation>
    </message>
    <message>
        <source>You said {given}; it was {percent} % slower, {tempo} BPM. Count the beats of ten seconds, and multiply by six.</source>
        <translation>Dijiste {given}; iba un {percent} % más lento, a {tempo} BPM. Cuenta los tiempos de diez segundos y multiplica por seis.</translation>
    </message>
    <message>
        <source>Tap every beat, then say how many a minute.</source>
        <translation>Toca cada tiempo y di cuántos hay por minuto.</translation>
    </message>
    <message>
        <source>silence</source>
        <translation>silencio</translation>
    </message>
    <message>
        <source>one silent bar; sheet and voice count on</source>
        <translation>un compás en silencio; la hoja y la voz siguen contando</translation>
    </message>
    <message>
        <source>four silent bars, a bass before and after the silence</source>
        <translation>cuatro compases en silencio, con un bajo antes y después del silencio</translation>
    </message>
    <message>
        <source>four silent bars: tap the one of each silent bar</source>
        <translation>cuatro compases en silencio: toca el uno de cada compás en silencio</translation>
    </message>
    <message>
        <source>eight silent bars: tap every beat of the silence</source>
        <translation>ocho compases en silencio: toca todos los tiempos del silencio</translation>
    </message>
    <message>
        <source>You came in on {beat}, half a bar off. Start your count on the kick.</source>
        <translation>Entraste en {beat}, a medio compás. Empieza la cuenta en el bombo.</translation>
    </message>
    <message>
        <source>one turn without a sign, found by counting alone</source>
        <translation>un cambio sin señal, que solo se encuentra contando</translation>
    </message>
    <message>
        <source>phrases of four bars, which sheet and voice count; nothing is marked</source>
        <translation>frases de cuatro compases, que cuentan la hoja y una voz; no se corrige nada</translation>
    </message>
    <message>
        <source>Your presses came before the turns that count. Press on every turn after the first.</source>
        <translation>Tus pulsaciones llegaron antes de los cambios que cuentan. Pulsa también en cada cambio después del primero.</translation>
    </message>
    <message>
        <source>You caught {hits} of {targets}.</source>
        <translation>Acertaste {hits} de {targets}.</translation>
    </message>
    <message>
        <source>one press too many</source>
        <translation>sobra una pulsación</translation>
    </message>
    <message>
        <source>{n} presses too many</source>
        <translation>sobran {n} pulsaciones</translation>
    </message>
    <message>
        <source>You caught the turn, with {extra}.</source>
        <translation>Acertaste el cambio, con {extra}.</translation>
    </message>
    <message>
        <source>You pressed at the fill: it was in mid-phrase. Count on to the end of the {n} bars.</source>
        <translation>Pulsaste en el relleno: estaba a mitad de frase. Cuenta hasta el final de los {n} compases.</translation>
    </message>
    <message>
        <source>You pressed at the crash: it was in mid-phrase. Count on to the end of the {n} bars.</source>
        <translation>Pulsaste con el golpe de plato: estaba a mitad de frase. Sigue contando hasta el final de los {n} compases.</translation>
    </message>
    <message>
        <source>You were mostly {off}: press on the first beat after the last bar of the phrase.</source>
        <translation>Casi siempre llegaste con {off}: pulsa en el primer tiempo después del último compás de la frase.</translation>
    </message>
    <message>
        <source>You were mostly {off}: count the bars, then the turn cannot surprise you.</source>
        <translation>Casi siempre llegaste con {off}: cuenta los compases y el cambio no podrá sorprenderte.</translation>
    </message>
    <message>
        <source>Press once as each new phrase begins.</source>
        <translation>Pulsa una vez cuando empiece cada frase.</translation>
    </message>
    <message>
        <source>to compare</source>
        <translation>para comparar</translation>
    </message>
    <message>
        <source>You lost the count and said so: that helps more than a guess.</source>
        <translation>Perdiste la cuenta y lo has dicho: eso ayuda más que adivinar.</translation>
    </message>
    <message>
        <source>{drill} is not practised on your own records.</source>
        <translation>{drill} no se practica con tus propios discos.</translation>
    </message>
    <message>
        <source>Hear it again with the count shown, and count along.</source>
        <translation>Escúchalo otra vez con la cuenta a la vista y cuenta a la par.</translation>
    </message>
    <message>
        <source>You could not tell and said so: that helps more than a guess.</source>
        <translation>No lo notaste y lo dijiste: eso ayuda más que adivinar.</translation>
    </message>
    <message>
        <source>Hear it again, and compare.</source>
        <translation>Escúchalo otra vez y compara.</translation>
    </message>
    <message>
        <source>your record</source>
        <translation>tu disco</translation>
    </message>
    <message>
        <source>One moment: the sound is being written.</source>
        <translation>Un momento: se está escribiendo el sonido.</translation>
    </message>
    <message>
        <source>it should start here</source>
        <translation>debía empezar aquí</translation>
    </message>
    <message>
        <source>a rising noise</source>
        <translation>un ruido que sube</translation>
    </message>
    <message>
        <source>a closing filter</source>
        <translation>un filtro que se cierra</translation>
    </message>
    <message>
        <source>a snare roll</source>
        <translation>un redoble de caja</translation>
    </message>
    <message>
        <source>a bar without drums</source>
        <translation>un compás sin batería</translation>
    </message>
    <message>
        <source>a fill</source>
        <translation>un relleno</translation>
    </message>
    <message>
        <source>a beat without drums</source>
        <translation>un tiempo sin batería</translation>
    </message>
    <message>
        <source>a crash played backwards</source>
        <translation>un crash al revés</translation>
    </message>
    <message>
        <source>a crash</source>
        <translation>un crash</translation>
    </message>
    <message>
        <source>a boom</source>
        <translation>un estampido</translation>
    </message>
    <message>
        <source>a falling noise</source>
        <translation>un ruido que baja</translation>
    </message>
    <message>
        <source>an echo</source>
        <translation>un eco</translation>
    </message>
    <message>
        <source>the bass came in</source>
        <translation>entró el bajo</translation>
    </message>
    <message>
        <source>more came in</source>
        <translation>entró algo más</translation>
    </message>
    <message>
        <source>something went</source>
        <translation>algo se fue</translation>
    </message>
    <message>
        <source>the hats changed</source>
        <translation>cambiaron los charles</translation>
    </message>
    <message>
        <source>{first}, then {second}</source>
        <translation>{first}; luego {second}</translation>
    </message>
    <message>
        <source>no sign</source>
        <translation>sin señal</translation>
    </message>
    <message>
        <source>a fill, but no turn</source>
        <translation>un relleno, pero sin cambio</translation>
    </message>
    <message>
        <source>a crash, but no turn</source>
        <translation>un crash, pero sin cambio</translation>
    </message>
    <message>
        <source>the last beat</source>
        <translation>el último tiempo</translation>
    </message>
    <message>
        <source>Your taps kept time, but some beats had no tap, or several. Nod along and tap with every nod.</source>
        <translation>Tus toques iban a tiempo, pero algunos tiempos no tuvieron toque, o tuvieron varios. Mueve la cabeza y toca con cada movimiento.</translation>
    </message>
    <message>
        <source>A single tap for each beat is enough.</source>
        <translation>Basta un solo toque por tiempo.</translation>
    </message>
    <message>
        <source>Some more trials, with and without a side task, will show how much attention the count takes.</source>
        <translation>Unas pruebas más, con tarea y sin tarea, mostrarán cuánta atención te pide la cuenta.</translation>
    </message>
    <message>
        <source>No cost of the side task can be measured yet.</source>
        <translation>Aún no se puede medir ningún coste de la tarea.</translation>
    </message>
    <message>
        <source>The side task costs you about one rung.</source>
        <translation>La tarea te cuesta alrededor de un peldaño.</translation>
    </message>
    <message>
        <source>The side task costs you about {n} rungs.</source>
        <translation>La tarea te cuesta unos {n} peldaños.</translation>
    </message>
    <message>
        <source>The side task costs you less than a rung.</source>
        <translation>La tarea te cuesta menos de un peldaño.</translation>
    </message>
    <message>
        <source>In every plan, as you chose.</source>
        <translation>En cada plan, como elegiste.</translation>
    </message>
    <message>
        <source>Last practised {n} days ago: a good time to come back to it.</source>
        <translation>Lo practicaste por última vez hace {n} días: buen momento para retomarlo.</translation>
    </message>
    <message>
        <source>Last practised yesterday: a good time to come back to it.</source>
        <translation>Lo practicaste por última vez ayer: buen momento para retomarlo.</translation>
    </message>
    <message>
        <source>{drill} rests for some days: it will come back by itself.</source>
        <translation>«{drill}» descansa unos días: volverá por sí solo.</translation>
    </message>
    <message>
        <source>{drill} rests for some days. Go back to {back} meanwhile: it makes the way easier.</source>
        <translation>«{drill}» descansa unos días. Mientras tanto, vuelve a «{back}»: allana el camino.</translation>
    </message>
    <message>
        <source>Of what you practise this stands lowest at present: practise it more.</source>
        <translation>De lo que practicas, esto es lo que está más bajo ahora: practícalo más.</translation>
    </message>
    <message>
        <source>The record {title} is not to be found. What sounds are plain drums on its beats.</source>
        <translation>No se encuentra el disco {title}. Lo que suena es una batería sencilla en sus pulsos.</translation>
    </message>
    <message>
        <source>Two records played in this trial. You hear the first one alone.</source>
        <translation>En esta prueba sonaban dos discos. Oyes solo el primero.</translation>
    </message>
    <message>
        <source>This version cannot mark this trial any more, and so does not open it.</source>
        <translation>Esta versión ya no puede evaluar esta prueba, así que no la abre.</translation>
    </message>
    <message>
        <source>{path}: the logbook cannot be read ({why}).</source>
        <translation>{path}: no se puede leer el cuaderno ({why}).</translation>
    </message>
    <message>
        <source>{path}: the logbook may not be written; practice would not be kept.</source>
        <translation>{path}: no se permite escribir en el cuaderno; la práctica no se guardaría.</translation>
    </message>
    <message>
        <source>{path}: the logbook&apos;s folder cannot be made ({why}).</source>
        <translation>{path}: no se puede crear la carpeta del cuaderno ({why}).</translation>
    </message>
    <message>
        <source>{path}: a folder, where the logbook&apos;s file should be.</source>
        <translation>{path}: hay una carpeta donde debería estar el archivo del cuaderno.</translation>
    </message>
    <message>
        <source>{path}: not a file, where the logbook should be.</source>
        <translation>{path}: lo que hay donde debería estar el cuaderno no es un archivo.</translation>
    </message>
    <message>
        <source>{path}: this is not a logbook; it was left as it is.</source>
        <translation>{path}: esto no es un cuaderno; se dejó como está.</translation>
    </message>
    <message>
        <source>{path}: this is another program&apos;s database; it was left as it is.</source>
        <translation>{path}: esta es la base de datos de otro programa; se dejó como está.</translation>
    </message>
    <message>
        <source>{path}: another program writes the logbook. Close that program and try again.</source>
        <translation>{path}: otro programa escribe en el cuaderno. Cierra el otro y vuelve a intentarlo.</translation>
    </message>
    <message>
        <source>{path}: another program holds the logbook. Everything kept so far is still there. Close that program and try again.</source>
        <translation>{path}: otro programa tiene abierto el cuaderno. Todo lo guardado hasta ahora sigue ahí. Cierra el otro y vuelve a intentarlo.</translation>
    </message>
    <message>
        <source>{name} cannot be a name: 1 to {most} characters are needed, and no # with digits at the end.</source>
        <translation>{name} no puede ser un nombre: hacen falta de 1 a {most} caracteres, sin # y cifras al final.</translation>
    </message>
    <message>
        <source>The logbook was damaged and was set aside as {aside}. The copy of {day} was opened. Trials kept: {kept}, the last of {last}. Later trials that could still be read and were added: {saved}. Others since then may be missing.</source>
        <translation>El cuaderno estaba dañado y se apartó como {aside}. Se abrió la copia del {day}. Pruebas conservadas: {kept}, la última del {last}. Pruebas posteriores que aún se podían leer y se añadieron: {saved}. Puede que falten otras desde entonces.</translation>
    </message>
    <message>
        <source>The logbook&apos;s file was missing. The copy of {day} was opened. Trials kept: {kept}, the last of {last}. Later trials may be missing.</source>
        <translation>Faltaba el archivo del cuaderno. Se abrió la copia del {day}. Pruebas conservadas: {kept}, la última del {last}. Puede que falten las posteriores.</translation>
    </message>
    <message>
        <source>The logbook was damaged and was set aside as {aside}. There is no good copy of it, so a new logbook was started. Trials that could still be read and were added: {saved}. Others may be missing.</source>
        <translation>El cuaderno estaba dañado y se apartó como {aside}. No hay ninguna copia buena, así que se empezó un cuaderno nuevo. Pruebas que aún se podían leer y se añadieron: {saved}. Puede que falten otras.</translation>
    </message>
    <message>
        <source>Trials that could not be read: {n}. They are kept in {file}, with what is wrong in each line. Put right there, they come back with &apos;logbook import&apos;.</source>
        <translation>Pruebas que no se pudieron leer: {n}. Están guardadas en {file}, cada línea con lo que falla. Corregidas allí, vuelven con «logbook import».</translation>
    </message>
    <message>
        <source>Trials that could not be read: {n}. They could not be kept apart either: {why}</source>
        <translation>Pruebas que no se pudieron leer: {n}. Tampoco se pudieron guardar aparte: {why}</translation>
    </message>
    <message>
        <source>{path} is a link that somebody else has made; it is left alone.</source>
        <translation>{path} es un enlace que hizo otra persona; se deja como está.</translation>
    </message>
    <message>
        <source>1 bar of silence carried.</source>
        <translation>1 compás de silencio superado.</translation>
    </message>
    <message>
        <source>{n} bars of silence carried.</source>
        <translation>{n} compases de silencio superados.</translation>
    </message>
    <message>
        <source>You are on rung {rung} of {rungs}.</source>
        <translation>Estás en el peldaño {rung} de {rungs}.</translation>
    </message>
    <message>
        <source>You are on rung {rung} of {rungs}; you began the day on rung {began}.</source>
        <translation>Estás en el peldaño {rung} de {rungs}; empezaste el día en el peldaño {began}.</translation>
    </message>
    <message>
        <source>On rung {rung} of {rungs}, {right} of your last {asked} were right.</source>
        <translation>En el peldaño {rung} de {rungs}, acertaste {right} de las últimas {asked}.</translation>
    </message>
    <message>
        <source>It comes back tomorrow.</source>
        <translation>Vuelve mañana.</translation>
    </message>
    <message>
        <source>New: rung {rung} of {rungs} is surely yours ({what}).</source>
        <translation>Nuevo: el peldaño {rung} de {rungs} ya es tuyo con seguridad ({what}).</translation>
    </message>
    <message>
        <source>Over {n} beats of silence near {tempo} BPM your inner beat varied by {ms} ms (95 %: {low} to {high}).</source>
        <translation>En {n} tiempos de silencio, cerca de {tempo} BPM, tu pulso interno varió {ms} ms (95 %: de {low} a {high}).</translation>
    </message>
    <message>
        <source>The hand added {ms} ms (95 %: {low} to {high}).</source>
        <translation>La mano añadió {ms} ms (95 %: de {low} a {high}).</translation>
    </message>
    <message>
        <source>You said {given} where it was {expected}, in {n} of {asked} answers. Before you say {given}, compare the two.</source>
        <translation>Dijiste {given} donde era {expected}, en {n} de {asked} respuestas. Antes de decir {given}, compara los dos.</translation>
    </message>
    <message>
        <source>The count is lost most often in bar {bar} of the phrase: {percent} % of the targets there are missed. Keep counting through that bar.</source>
        <translation>Donde más se pierde la cuenta es en el compás {bar} de la frase: ahí se falla el {percent} % de los objetivos. Sigue contando durante ese compás.</translation>
    </message>
    <message>
        <source>Trials that do not count: {n}, by the learner&apos;s own word: {said}.</source>
        <translation>Pruebas que no cuentan: {n}; porque lo dijo el alumno: {said}.</translation>
    </message>
    <message>
        <source>In the latest week: {minutes} (listening: {listening} min).</source>
        <translation>En la última semana: {minutes} (escucha: {listening} min).</translation>
    </message>
    <message>
        <source>Too soon to see whether the spread changes: that takes {days} days and {trials} trials on one device.</source>
        <translation>Aún es pronto para decir si la dispersión cambia: hacen falta {days} días y {trials} pruebas con el mismo equipo.</translation>
    </message>
    <message>
        <source>Too few answers yet to know which rung suits you: that takes {n}.</source>
        <translation>Aún hay pocas respuestas para decir qué peldaño te conviene: hacen falta {n}.</translation>
    </message>
    <message>
        <source>On your own records rung {rung} suits you, on drums rung {drums}.</source>
        <translation>Con tus propios discos te va bien el peldaño {rung}; con baterías, el {drums}.</translation>
    </message>
    <message>
        <source>On your own records rung {rung} of {rungs} suits you.</source>
        <translation>Con tus propios discos te va bien el peldaño {rung} de {rungs}.</translation>
    </message>
    <message>
        <source>Your taps came {ms} ms late, evenly and at each tempo. That is the equipment, not your hand, and counts neither way.</source>
        <translation>Tus toques llegaron con {ms} ms de retraso, iguales a cada tempo. Eso es del equipo, no de tu mano, y no cuenta.</translation>
    </message>
    <message>
        <source>Measure the delay under Sound and taps.</source>
        <translation>Mide el retardo en «Audio y toques».</translation>
    </message>
    <message>
        <source>Your taps lie {ms} ms early on average.</source>
        <translation>Tus toques llevan de media {ms} ms de adelanto.</translation>
    </message>
    <message>
        <source>Your taps lie {ms} ms early on average; most people&apos;s do.</source>
        <translation>Tus toques llevan de media {ms} ms de adelanto, como los de casi todo el mundo.</translation>
    </message>
    <message>
        <source>Your taps lie {ms} ms late on average.</source>
        <translation>Tus toques llevan de media {ms} ms de retraso.</translation>
    </message>
    <message>
        <source>Your taps lie {ms} ms early on average, but the delay of the equipment is known to {error} ms only.</source>
        <translation>De media tus toques se adelantan {ms} ms, pero el retardo del equipo solo se conoce con un margen de {error} ms.</translation>
    </message>
    <message>
        <source>Your taps lie {ms} ms late on average, but the delay of the equipment is known to {error} ms only.</source>
        <translation>De media tus toques se retrasan {ms} ms, pero el retardo del equipo solo se conoce con un margen de {error} ms.</translation>
    </message>
    <message>
        <source>On average your taps are neither early nor late, as far as can be measured.</source>
        <translation>De media tus toques no llevan adelanto ni retraso, hasta donde se puede medir.</translation>
    </message>
    <message>
        <source>Two in three of your taps lie within {ms} ms of their average.</source>
        <translation>Dos de cada tres toques tuyos están a {ms} ms o menos de su media.</translation>
    </message>
    <message>
        <source>Most people&apos;s taps come early.</source>
        <translation>A casi todo el mundo se le adelantan los toques.</translation>
    </message>
    <message>
        <source>{on}.</source>
        <translation>{on}.</translation>
    </message>
    <message>
        <source>{on}, {ms} ms {way}.</source>
        <translation>{on}, {ms} ms {way}.</translation>
    </message>
    <message>
        <source>You came in {off}.</source>
        <translation>Entraste con {off}.</translation>
    </message>
    <message>
        <source>You came in {off}, then {ms} ms {way}.</source>
        <translation>Entraste con {off}, y desde ahí {ms} ms {way}.</translation>
    </message>
    <message>
        <source>You came in {off}, and {ms} ms more.</source>
        <translation>Entraste con {off}, y {ms} ms más.</translation>
    </message>
    <message>
        <source>{path}: the file went away while it was read.</source>
        <translation>{path}: el archivo desapareció mientras se leía.</translation>
    </message>
    <message>
        <source>{path}, line {line}: seconds, a tab and bar.beat expected, such as 12.5 7.2.</source>
        <translation>{path}, línea {line}: se esperan segundos, un tabulador y compás.tiempo, como 12.5 7.2.</translation>
    </message>
    <message>
        <source>{path}, line {line}: later than the line before expected, in time and in count.</source>
        <translation>{path}, línea {line}: debe ser posterior a la línea anterior, en segundos y en la cuenta.</translation>
    </message>
    <message>
        <source>its beats go on to {seconds} s, after the end of the sound.</source>
        <translation>sus tiempos llegan hasta {seconds} s, más allá del final del sonido.</translation>
    </message>
    <message>
        <source>{path}: {why}</source>
        <translation>{path}: {why}</translation>
    </message>
    <message>
        <source>A record&apos;s entry could not be read ({why}) and is kept as {aside}.</source>
        <translation>No se pudo leer la ficha de un disco ({why}); se guarda como {aside}.</translation>
    </message>
    <message>
        <source>A record&apos;s entry cannot be read: {why}.</source>
        <translation>No se puede leer la ficha de un disco: {why}.</translation>
    </message>
    <message>
        <source>The list of records cannot be read: {why}.</source>
        <translation>No se puede leer la lista de discos: {why}.</translation>
    </message>
    <message>
        <source>{name}: no such record in the list.</source>
        <translation>{name}: no hay tal disco en la lista.</translation>
    </message>
    <message>
        <source>{name}: several records are called that; give more of it.</source>
        <translation>{name}: varios discos se llaman así; escribe algo más.</translation>
    </message>
    <message>
        <source>{path}: this kind of sound is read by the program ffmpeg. Please install it, or tallybar[media].</source>
        <translation>{path}: este tipo de sonido lo lee el programa ffmpeg. Instálalo, o bien tallybar[media].</translation>
    </message>
    <message>
        <source>the tempo is free, or changes.</source>
        <translation>el tempo es libre o cambia.</translation>
    </message>
    <message>
        <source>no steady beat is heard in it.</source>
        <translation>no se oye en él un pulso constante.</translation>
    </message>
    <message>
        <source>it is not counted in four.</source>
        <translation>no se cuenta en cuatro.</translation>
    </message>
    <message>
        <source>only {seconds} s of sound; at least {least} s are needed.</source>
        <translation>solo hay {seconds} s de sonido; hacen falta al menos {least} s.</translation>
    </message>
    <message>
        <source>the tempo wanders: beats are up to {ms} ms away from steady ones.</source>
        <translation>el tempo oscila: hay pulsos a {ms} ms de los constantes.</translation>
    </message>
    <message>
        <source>{path}: the sound is damaged or cut off after {seconds} s.</source>
        <translation>{path}: el sonido está dañado o cortado a los {seconds} s.</translation>
    </message>
    <message>
        <source>{path}: the sound is damaged or cut off.</source>
        <translation>{path}: el sonido está dañado o cortado.</translation>
    </message>
    <message>
        <source>{path}: there is no sound in this file.</source>
        <translation>{path}: en este archivo no hay sonido.</translation>
    </message>
    <message>
        <source>{path}: this is no sound that can be read.</source>
        <translation>{path}: esto no es un sonido que se pueda leer.</translation>
    </message>
    <message>
        <source>{path}: the sound holds values that are not numbers.</source>
        <translation>{path}: el sonido contiene valores que no son números.</translation>
    </message>
    <message>
        <source>{path}: {rate} samples a second; {low} to {high} can be read.</source>
        <translation>{path}: {rate} muestras por segundo; se pueden leer de {low} a {high}.</translation>
    </message>
    <message>
        <source>{path}: longer than {hours} hours.</source>
        <translation>{path}: dura más de {hours} horas.</translation>
    </message>
    <message>
        <source>{path}: {channels} channels; at most {most} can be read.</source>
        <translation>{path}: {channels} canales; se pueden leer {most} como mucho.</translation>
    </message>
    <message>
        <source>{title} is too short for this drill.</source>
        <translation>{title} es demasiado corto para este ejercicio.</translation>
    </message>
    <message>
        <source>No intro is known of {title}.</source>
        <translation>No se conoce ninguna intro de {title}.</translation>
    </message>
    <message>
        <source>{title} is a recording, and this takes single drums.</source>
        <translation>{title} es una grabación, y esto necesita golpes sueltos.</translation>
    </message>
    <message>
        <source>This takes a second record, within {percent} % of the tempo of {title}.</source>
        <translation>Esto necesita un segundo disco, a menos de un {percent} % del tempo de {title}.</translation>
    </message>
    <message>
        <source>{title} has bars 1 to {last}, not {bar}.</source>
        <translation>{title} tiene los compases 1 a {last}, no el {bar}.</translation>
    </message>
    <message>
        <source>{title} has {bpm} BPM. A drum intro has {low} to {high}.</source>
        <translation>{title} tiene {bpm} BPM. Una intro de batería tiene de {low} a {high}.</translation>
    </message>
    <message>
        <source>{groove} is not in four, as records are.</source>
        <translation>{groove} no va a cuatro, como los discos.</translation>
    </message>
    <message>
        <source>{name}: there is not one whole bar in it.</source>
        <translation>{name}: no tiene ni un compás entero.</translation>
    </message>
    <message>
        <source>{name}: there are too many hits in a phrase of it.</source>
        <translation>{name}: en una frase hay demasiados golpes.</translation>
    </message>
    <message>
        <source>Your press fell between two beats. Nod along first, and press with the nod.</source>
        <translation>Tu pulsación cayó entre dos tiempos. Mueve primero la cabeza y pulsa con ese movimiento.</translation>
    </message>
    <message>
        <source>Your press fell between two beats, about {off}. Nod along first, and press with the nod.</source>
        <translation>Tu pulsación cayó entre dos tiempos, con {off}, más o menos. Mueve primero la cabeza y pulsa con ese movimiento.</translation>
    </message>
    <message>
        <source>No press came in. One press starts the second record: space bar, mouse button or a finger.</source>
        <translation>No llegó ninguna pulsación. Una pulsación arranca el segundo disco: barra espaciadora, botón del ratón o un dedo.</translation>
    </message>
    <message>
        <source>Meanwhile numbers are shown: left key for even, right key for odd.</source>
        <translation>Mientras tanto aparecen números: tecla izquierda para los pares, derecha para los impares.</translation>
    </message>
    <message>
        <source>Meanwhile colours are shown: left key for red and orange, right key for blue and green.</source>
        <translation>Mientras tanto aparecen colores: tecla izquierda para rojo y naranja, derecha para azul y verde.</translation>
    </message>
    <message>
        <source>red</source>
        <translation>rojo</translation>
    </message>
    <message>
        <source>orange</source>
        <translation>naranja</translation>
    </message>
    <message>
        <source>blue</source>
        <translation>azul</translation>
    </message>
    <message>
        <source>green</source>
        <translation>verde</translation>
    </message>
    <message>
        <source>{n}</source>
        <translation>{n}</translation>
    </message>
    <message>
        <source>This trial was too short for a side task.</source>
        <translation>Esta prueba fue demasiado corta para una tarea secundaria.</translation>
    </message>
    <message>
        <source>on the beat</source>
        <translation>justo en el tiempo</translation>
    </message>
    <message>
        <source>one beat</source>
        <translation>un tiempo</translation>
    </message>
    <message>
        <source>{n} beats</source>
        <translation>{n} tiempos</translation>
    </message>
    <message>
        <source>one bar</source>
        <translation>un compás</translation>
    </message>
    <message>
        <source>{n} bars</source>
        <translation>{n} compases</translation>
    </message>
    <message>
        <source>{bars} and {beats}</source>
        <translation>{bars} y {beats}</translation>
    </message>
    <message>
        <source>{length} early</source>
        <translation>{length} de adelanto</translation>
    </message>
    <message>
        <source>{length} late</source>
        <translation>{length} de retraso</translation>
    </message>
    <message>
        <source>You had the beat every time: {targets} of {targets}.</source>
        <translation>Llevaste el pulso todas las veces: {targets} de {targets}.</translation>
    </message>
</context>
<context>
    <name>trade words</name>
    <message>
        <source>beat, beats, tempo, tempos, BPM</source>
        <translation>tiempo, tiempos, pulso, tempo, tempos, BPM</translation>
    </message>
    <message>
        <source>bar, bars</source>
        <translation>compás, compases</translation>
    </message>
    <message>
        <source>the one, the first one, its one, first ones</source>
        <translation>el uno, al uno, del uno, su uno, el primer uno, el «uno», «uno»</translation>
    </message>
    <message>
        <source>drum, drums, kick, snare, clap, hats, crash, backbeat</source>
        <translation>batería, golpe, golpes, bombo, caja, palmada, charles, crash, backbeat</translation>
    </message>
    <message>
        <source>four on the floor</source>
        <translation>bombo a negras</translation>
    </message>
    <message>
        <source>phrase, phrases</source>
        <translation>frase, frases</translation>
    </message>
    <message>
        <source>turn, turns, fill, fills</source>
        <translation>cambio, cambios, relleno, rellenos</translation>
    </message>
    <message>
        <source>intro, intros</source>
        <translation>intro, intros</translation>
    </message>
    <message>
        <source>break, breaks, drop, drops</source>
        <translation>break, breaks, drop, drops</translation>
    </message>
    <message>
        <source>half time, double time</source>
        <translation>a la mitad, al doble</translation>
    </message>
    <message>
        <source>in line</source>
        <translation>cuadran, cuadrar</translation>
    </message>
    <message>
        <source>outro, outros, blend</source>
        <translation>outro, outros, mezcla</translation>
    </message>
    <message>
        <source>rung, rungs, ladder</source>
        <translation>peldaño, peldaños, escalera</translation>
    </message>
</context>
</TS>
